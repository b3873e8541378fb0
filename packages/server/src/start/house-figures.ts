import type { Priority } from '@attemper/core/alarms/catalogue.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { AlarmKeeper } from '../alarms/alarm-keeper.ts'
import type { MetricFamily } from '../http/metrics/open-metrics.ts'
import type { Clock } from '../live/clock.ts'
import type { Store } from '../store/store.ts'
import { lastBackupAt_ms } from './last-backup.ts'

export interface HouseParts {
  readonly store: Store
  readonly clock: Clock
  readonly alarms: Pick<AlarmKeeper, 'list'>
  /** Free on the disk of the records, bytes; null: it can not be looked at. */
  readonly free_B: () => number | null
  readonly lateness_s: () => number
}

const PRIORITIES: readonly Priority[] = ['high', 'medium', 'low']

/** What tells a collector that the house needs somebody, for /metrics. What is unknown has no sample. */
export function houseFigures({
  store,
  clock,
  alarms,
  free_B,
  lateness_s,
}: HouseParts): readonly MetricFamily[] {
  const now_ms = clock.now_ms()
  const gauge = (name: string, help: string, value: number | null, unit: string): MetricFamily => ({
    ...{ name: `${name}_${unit}`, type: 'gauge', unit, help },
    samples: value === null ? [] : [{ labels: {}, value }],
  })
  const present = alarms.list().filter(({ awaySince_s }) => awaySince_s === null)
  const backup_ms = lastBackupAt_ms(store)
  return [
    {
      name: 'attemper_alarms',
      type: 'gauge',
      help: 'Alarms that are present, by their priority and whether somebody has seen them.',
      samples: PRIORITIES.flatMap(priority =>
        [true, false].map(seen => ({
          labels: { priority, seen: String(seen) },
          value: present.filter(one => one.priority === priority && (one.seenAt_s !== null) === seen).length,
        })),
      ),
    },
    {
      name: 'attemper_reading_age_seconds',
      type: 'gauge',
      unit: 'seconds',
      help: 'Time since the latest reading, good or bad.',
      samples: store.vessels().flatMap(({ name, text }) =>
        channelsOf(text).flatMap(({ instrument, quantity }) => {
          const latest = store.latestReading({ vessel: name, instrument, quantity }, now_ms)
          return latest === null
            ? []
            : [{ labels: { vessel: name, instrument, quantity }, value: (now_ms - latest.at_ms) / 1000 }]
        }),
      ),
    },
    gauge(
      'attemper_decision_lateness',
      'How late the latest of all decisions within five minutes was, in real time.',
      lateness_s(),
      'seconds',
    ),
    gauge('attemper_disk_free', 'Free on the disk of the records.', free_B(), 'bytes'),
    gauge(
      'attemper_backup_age',
      'Time since the latest backup was made.',
      backup_ms === null ? null : (now_ms - backup_ms) / 1000,
      'seconds',
    ),
  ]
}

const READ = new Map<string, readonly { readonly instrument: string; readonly quantity: string }[]>()
const MOST_READ = 100

/** By text: reading one takes longer than all of the rest. */
function channelsOf(text: string) {
  const known = READ.get(text)
  if (known !== undefined) return known
  const { vessel } = readVessel(text, 'vessel')
  const channels = (vessel === null ? [] : listChannels(vessel)).map(({ instrument, channel }) => ({
    instrument: instrument.name,
    quantity: channel.quantity,
  }))
  if (READ.size >= MOST_READ) READ.clear()
  READ.set(text, channels)
  return channels
}
