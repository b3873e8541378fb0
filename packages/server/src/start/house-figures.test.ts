import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openAlarms } from '../alarms/alarm-keeper.ts'
import { HandClock } from '../alarms/testing/hand-clock.ts'
import { PaperStore } from '../alarms/testing/paper-store.ts'
import { printOpenMetrics } from '../http/metrics/open-metrics.ts'
import type { Store } from '../store/store.ts'
import { houseFigures } from './house-figures.ts'
import { noteBackup } from './last-backup.ts'

const TEXT = readFileSync(new URL('../../../../examples/garage-fridge.vessel.yaml', import.meta.url), 'utf8')

test('alarms, the age of readings and of the backup, the disk and lateness; what is unknown has no sample', () => {
  const hand = new HandClock(Date.UTC(2026, 11, 4))
  const paper = new PaperStore()
  const begin_ms = hand.now_ms()
  const store = Object.assign(paper, {
    vessels: () => [{ name: 'Garage fridge', text: TEXT, doors: '', changed_ms: 0 }],
    latestReading: ({ quantity }: { quantity: string }) =>
      quantity === 'beer' ? { at_ms: begin_ms, value: 18, status: 'good' } : null,
  }) as unknown as Store
  const alarms = openAlarms({ store: paper, clock: hand, timers: hand, notify: () => undefined })
  const linesAt = (free_B: number | null) =>
    printOpenMetrics(
      houseFigures({ store, clock: hand, alarms, free_B: () => free_B, lateness_s: () => 0.25 }),
    ).split('\n')
  expect(linesAt(null).filter(line => /disk_free_bytes \d|backup_age_seconds \d/.test(line))).toEqual([])

  alarms.report({ code: 'storage-trouble', subject: '' }, 'full')
  hand.pass(90)
  noteBackup(store, hand.now_ms())
  hand.pass(3600)
  const lines = linesAt(5e9)
  for (const line of [
    'attemper_alarms{priority="high",seen="false"} 1',
    'attemper_alarms{priority="high",seen="true"} 0',
    'attemper_alarms{priority="low",seen="false"} 0',
    'attemper_reading_age_seconds{vessel="Garage fridge",instrument="Probe",quantity="beer"} 3690',
    'attemper_decision_lateness_seconds 0.25',
    'attemper_disk_free_bytes 5000000000',
    'attemper_backup_age_seconds 3600',
  ]) {
    expect(lines).toContain(line)
  }
  expect(lines.filter(line => line.includes('quantity="gravity"'))).toEqual([])
  const [{ id } = { id: 0 }] = alarms.list()
  alarms.acknowledge(id, 'Kim')
  expect(linesAt(5e9)).toContain('attemper_alarms{priority="high",seen="true"} 1')
})
