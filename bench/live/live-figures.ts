import { join } from 'node:path'
import type { Figure } from '../figure.ts'
import { type BareInserts, bareInserts } from './bare-inserts.ts'
import { inFolder } from './bench-cellar.ts'
import { decisionLateness } from './decision-lateness.ts'
import { httpReadings } from './http-readings.ts'
import { monthMemory } from './month-memory.ts'
import { mqttReadings } from './mqtt-readings.ts'
import { storedBytes } from './stored-bytes.ts'
import { yearChart } from './year-chart.ts'
import { writeYear } from './year-of-readings.ts'

/** The figures of a live cellar, section by section; each can fail by itself. */
export function liveSections(): readonly (() => Promise<readonly Figure[]>)[] {
  let bare: BareInserts = new Map()
  return [
    async () => {
      const measured = await bareInserts()
      bare = measured.bare
      return measured.figures
    },
    () => httpReadings(bare),
    () => mqttReadings(bare),
    () =>
      inFolder(async folder => {
        const file = join(folder, 'year.sqlite')
        await writeYear(file)
        return [...yearChart(file), ...storedBytes(file)]
      }),
    decisionLateness,
    monthMemory,
  ]
}
