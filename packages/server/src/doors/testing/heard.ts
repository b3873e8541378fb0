import { readFileSync } from 'node:fs'
import type { VesselRecord } from '../../store/store.ts'
import type { Intake, Report } from '../report.ts'

/** Takes in everything; `gate` may hold the disk up, or break it. */
export function testIntake(
  gate: () => Promise<void> = async () => undefined,
): Intake & { readonly reports: Report[] } {
  const reports: Report[] = []
  return {
    reports,
    async accept(given) {
      await gate()
      reports.push(...given)
      return { stored: given.length, repeated: 0, refused: [] }
    },
  }
}

const TEXT = readFileSync(
  new URL('../../../../../examples/garage-fridge.vessel.yaml', import.meta.url),
  'utf8',
)

export function testVessel(doors = '', name = 'Garage fridge'): VesselRecord {
  return { name, text: TEXT, doors, changed_ms: 0 }
}
