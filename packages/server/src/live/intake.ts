import type { ReadingInput } from '@attemper/core/engine/contract.ts'
import type { Intake, Receipt, Refusal, Report } from '../doors/report.ts'
import type { Store } from '../store/store.ts'
import type { BatchKeeper } from './batch-keeper.ts'
import { CellarError } from './cellar.ts'
import { checkReport } from './check-report.ts'
import type { Clock } from './clock.ts'
import type { KnownVessel } from './known-vessels.ts'
import { type OnTrouble, reasonOf } from './trouble.ts'

export interface IntakeParts {
  readonly store: Pick<Store, 'addReadings'>
  readonly clock: Clock
  readonly vessels: ReadonlyMap<string, KnownVessel>
  readonly keeperIn: (vessel: string) => BatchKeeper | null
  readonly onTrouble: OnTrouble
}

export interface CellarIntake extends Intake {
  /** The same for what somebody has kept elsewhere: it may be as old as it likes. */
  acceptPast(reports: readonly Report[], by: string): Promise<Receipt>
  /** Since when readings can not be stored; null: they are. */
  readonly unwrittenSince_s: number | null
}

/**
 * Takes in what the doors heard: refuses single reports that can not be right, stores the others, and then tells them to
 * the batch that runs in their vessel.
 */
export function openIntake({ store, clock, vessels, keeperIn, onTrouble }: IntakeParts): CellarIntake {
  let isFailing = false
  let failingSince_s = 0

  const tell = (reports: readonly Report[]) => {
    const byVessel = Map.groupBy(reports, ({ vessel }) => vessel)
    for (const [name, own] of byVessel) {
      // While the readings were on their way to the disk, the vessel may have gone and the batch may have ended.
      const known = vessels.get(name)
      const keeper = keeperIn(name)
      if (!known || !keeper) continue
      keeper.hear(own.flatMap(report => readingOf(report, known)))
    }
  }

  const take = async (reports: readonly Report[], from: string, isPast: boolean): Promise<Receipt> => {
    const now_ms = clock.now_ms()
    const refused: Refusal[] = []
    const good: Report[] = []
    reports.forEach((report, index) => {
      const complaint = checkReport(report, vessels, now_ms, isPast)
      if (complaint === null) good.push(report)
      else refused.push({ index, ...complaint })
    })
    if (good.length === 0) return { stored: 0, repeated: 0, refused }
    try {
      const { stored, repeated } = await store.addReadings(good)
      if (isFailing) {
        isFailing = false
        onTrouble({ kind: 'records kept again', what: 'readings', batch: null })
      }
      tell(good)
      return { stored, repeated, refused }
    } catch (error) {
      // The batches are controlled with what was heard, but the sender is not told that it was stored.
      tell(good)
      const message = `Readings from ${from} can not be stored: ${reasonOf(error)}. Make room on the disk; the sender should send them again.`
      if (!isFailing) {
        onTrouble({ kind: 'records failing', what: 'readings', reason: reasonOf(error), batch: null })
      }
      if (!isFailing) failingSince_s = Math.floor(now_ms / 1000)
      isFailing = true
      throw new CellarError('storage', message)
    }
  }

  return {
    get unwrittenSince_s() {
      return isFailing ? failingSince_s : null
    },
    accept: (reports, door) => take(reports, door, false),
    acceptPast: (reports, by) => take(reports, by, true),
  }
}

function readingOf(report: Report, known: KnownVessel): ReadingInput[] {
  const channel = known.channels.get(report.instrument)?.get(report.quantity)
  if (channel === undefined) return []
  const { value, at_ms, status } = report
  return [{ channel, value, at_s: Math.floor(at_ms / 1000), status }]
}
