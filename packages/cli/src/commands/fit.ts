import { fitBatch, type WholeBatch } from '@attemper/core/beer-reading/fit-batch.ts'
import { type FittedNumbers, finalGravity, numbersOf } from '@attemper/core/beer-reading/fitted-numbers.ts'
import { readLearned } from '@attemper/core/beer-reading/learned.ts'
import { LEARNED_BATCHES } from '@attemper/core/beer-reading/learned-batches.ts'
import { pool } from '@attemper/core/beer-reading/pool.ts'
import { tableText } from '@attemper/core/report/text/table.ts'
import { formatGravity } from '@attemper/core/units/format.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { EXIT, UsageError } from '../exit-status.ts'
import { readRecord, wholeBatch } from '../readings/recorded-batch.ts'
import { unitsFor } from '../settings.ts'
import { readText } from '../text-file.ts'

/** Curves of the fit, and its seed: the same record gives the same answer. */
const MEMBERS = 1000
const SEED = 1
const FEWEST = 4

/** Fits the yeast's numbers to a recorded fermentation. */
export const FIT: Command = {
  name: 'fit',
  summary: 'Fits attenuation, speed and lag of the yeast to a recorded fermentation, with 90 % intervals.',
  arguments: [
    { name: 'FILE', about: 'CSV file with the columns time_h, gravity (SG) and, where known, temperature_C' },
  ],
  options: [...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper fit amber-ale-3.csv', 'attemper fit amber-ale-3.csv --json'],
  statuses: { good: 'fitted' },
  async run(given, io) {
    const units = unitsFor(given, io)
    const file = given.arguments[0]!
    const batch = recorded(file, readText(file, io.folder))
    const fitted = numbersOf(fitBatch(batch, MEMBERS, SEED))
    const others = pool(readLearned(LEARNED_BATCHES))
    const usual = numbersOf({ mean: [...others.centre], covariance: others.between })
    const { attenuation } = fitted
    const final = finalGravity(attenuation, batch.original_points)
    if (given.switch('json')) {
      const data = {
        file,
        gravities: batch.readings.length,
        original_gravity: 1 + batch.original_points / 1000,
        final_gravity: final,
        ...fitted,
        other_yeasts: usual,
      }
      io.out(`${JSON.stringify(data, null, 2)}\n`)
      return EXIT.good
    }
    const gravity = (value: number) => formatGravity(value, units)
    const finalText = `${gravity(final.p50)} (${gravity(final.p5)} to ${gravity(final.p95)})`
    const rows = [...rowsOf(fitted, usual), ['Heading for', finalText, '']]
    io.out(`${batch.readings.length} gravities over ${batch.readings.at(-1)!.at_h.toFixed(0)} h.\n\n`)
    io.out(`${tableText(COLUMNS, rows, io.columns)}\n`)
    if (batch.temperatures.length === 0) {
      io.out('\nWithout temperatures: the half-time is that of this batch, as warm or cold as it was.\n')
    }
    return EXIT.good
  },
}

const COLUMNS = [{ title: 'Yeast and wort' }, { title: 'this batch' }, { title: 'other yeasts' }]

function recorded(file: string, text: string): WholeBatch {
  const record = readRecord(file, text)
  if (typeof record === 'string') throw new UsageError(`${file}: ${record}.`)
  const batch = wholeBatch(record)
  if (batch.readings.length < FEWEST) {
    throw new UsageError(
      `${file} has ${batch.readings.length} gravities before its lowest one; at least ${FEWEST} are needed.`,
    )
  }
  return batch
}

function rowsOf(fitted: FittedNumbers, usual: FittedNumbers): string[][] {
  const say = ({ p5, p50, p95 }: { p5: number; p50: number; p95: number }, unit: string, digits = 0) =>
    `${p50.toFixed(digits)}${unit} (${p5.toFixed(digits)} to ${p95.toFixed(digits)})`
  const percent = (each: FittedNumbers['lag']) => ({
    p5: 100 * each.p5,
    p50: 100 * each.p50,
    p95: 100 * each.p95,
  })
  return [
    ['Attenuation', say(percent(fitted.attenuation), ' %'), say(percent(usual.attenuation), ' %')],
    ['Half of the fall, at 20 °C', say(fitted.half_h, ' h'), say(usual.half_h, ' h')],
    ['Lag, share of that', say(percent(fitted.lag), ' %'), say(percent(usual.lag), ' %')],
    ['Left when half as fast', say(percent(fitted.shortage), ' %'), say(percent(usual.shortage), ' %')],
    ['Faster with 10 °C more', say(fitted.warmth, ' times', 1), say(usual.warmth, ' times', 1)],
  ]
}
