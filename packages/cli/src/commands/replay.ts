import { isRoutine } from '@attemper/core/batch/log-line.ts'
import { sentenceContext } from '@attemper/core/batch/sentence-context.ts'
import type { Beer } from '@attemper/core/beer/beer.ts'
import type { ReadingInput } from '@attemper/core/engine/contract.ts'
import { replay } from '@attemper/core/rehearsal/replay.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import { replaySummary } from '@attemper/core/report/replay-summary.ts'
import { sentenceFor } from '@attemper/core/report/sentences/sentence.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import {
  BEER_OPTION,
  type Command,
  type Given,
  JSON_OPTION,
  PLAN_ARGUMENT,
  UNIT_OPTIONS,
  VESSEL_OPTION,
} from '../command.ts'
import { decisionsData, localTime } from '../decisions.ts'
import { eventLines } from '../event-log.ts'
import { EXIT, UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'
import { COLUMN_OPTIONS } from '../readings/column-options.ts'
import { readTable } from '../readings/read-table.ts'
import { recordedReadings } from '../readings/recorded-readings.ts'
import { vesselAsRecorded } from '../readings/vessel-as-recorded.ts'
import { type ReadySources, readySources } from '../ready-sources.ts'
import { unitsFor } from '../settings.ts'
import { START_OPTION } from './rehearse.ts'

/** Feeds recorded readings to the engine that also runs live batches. */
export const REPLAY: Command = {
  name: 'replay',
  summary:
    'Feeds recorded readings to the engine that also rehearses and runs: what this plan would have decided with that beer, when, and why.',
  arguments: [PLAN_ARGUMENT],
  options: [
    VESSEL_OPTION,
    BEER_OPTION,
    {
      name: 'readings',
      value: 'FILE',
      about: 'the record, a CSV file with the names of its columns in the first line',
    },
    ...COLUMN_OPTIONS,
    {
      name: 'utc-offset',
      value: 'OFFSET',
      about: "the vessel's clock against UTC, such as +01:00, for times that name a zone",
    },
    START_OPTION,
    {
      name: 'as-declared',
      about:
        'keep the reporting intervals and the watch over heater and cooler of the vessel file, whatever the record looks like',
    },
    {
      name: 'answers',
      value: 'WHO',
      about: 'yes: questions are answered after your usual time (usual); never',
    },
    { name: 'no-switches', about: 'leave out the switching of heater and cooler' },
    ...UNIT_OPTIONS,
    JSON_OPTION,
  ],
  needs: ['vessel', 'beer', 'readings'],
  examples: [
    'attemper replay amber.plan.yaml --vessel fridge.vessel.yaml --beer amber.beer.yaml --readings log.csv',
    'attemper replay amber.plan.yaml --vessel fridge.vessel.yaml --beer amber.beer.yaml --readings log.csv \\',
    "    --time When --time-unit dmy --beer-column 'Temp:°F' --gravity-column 'Extract:°P'",
  ],
  statuses: { good: 'replayed', bad: 'the plan, the vessel or the beer has errors' },
  async run(given, io) {
    const units = unitsFor(given, io)
    const answers = given.text('answers') ?? 'yes'
    if (answers !== 'yes' && answers !== 'never') throw new UsageError('--answers should be yes or never.')
    const sources = readySources(given, io, units)
    if (sources === null) return EXIT.bad
    const record = readRecord(given, sources, io)
    const setup = prepare(sources.plan, record.vessel, sources.beer, { seed: 1 })
    const { start_s, readings } = record
    const result = replay(setup, readings, { start_s, end_s: readings.at(-1)!.at_s, answers })
    const context = sentenceContext(sources.plan, record.vessel, units)
    const complete = result.state.batch === 'complete'
    const stage = complete ? null : (sources.plan.stages[result.state.stage]?.name ?? null)
    const summary = replaySummary(result.events, {
      start_s,
      ended_s: result.ended_s,
      stage,
      openQuestions: result.state.questions.length,
    })
    const events = given.switch('no-switches')
      ? result.events.filter(event => !isRoutine(event))
      : result.events
    if (given.switch('json')) {
      const data = {
        plan: sources.plan.name,
        start: localTime(start_s),
        readings: readings.length,
        notes: record.notes,
        ended: { state: result.state.batch, stage },
        summary,
        decisions: decisionsData(events, event => sentenceFor(event, context), start_s),
      }
      io.out(`${JSON.stringify(data, null, 2)}\n`)
    } else {
      for (const note of record.notes) io.err(`${note}\n`)
      io.out(`${eventLines(events, context, start_s, io.columns)}\n\n${paragraph(summary, io.columns)}\n`)
    }
    return EXIT.good
  },
}

function readRecord(given: Given, { vessel, beer }: ReadySources, io: Io) {
  const file = given.text('readings')!
  const { table, mapping, notes } = readTable(file, given, io.folder, beer.originalGravity)
  const wishedStart_s = given.text('start') === undefined ? undefined : beer.start.local_s
  const record = recordedReadings(table, mapping, vessel, beer.start.local_s, wishedStart_s)
  const adapted = given.switch('as-declared')
    ? { vessel, notes: [] }
    : vesselAsRecorded(vessel, record.readings)
  return {
    start_s: record.start_s,
    readings: record.readings,
    vessel: adapted.vessel,
    notes: [...notes, ...record.notes, ...adapted.notes, ...otherBeer(record.readings, vessel, beer)],
  }
}

/** More than this above the original gravity, it is another beer. */
const SAME_BEER_SG = 0.01

function otherBeer(readings: readonly ReadingInput[], vessel: Vessel, beer: Beer): string[] {
  const gravities = listChannels(vessel).filter(each => each.channel.quantity === 'gravity')
  const first = readings.find(reading => gravities.some(each => each.number === reading.channel))
  if (first === undefined || first.value <= beer.originalGravity + SAME_BEER_SG) return []
  return [
    `The record begins at a gravity of ${first.value.toFixed(3)}, but the original gravity of ${beer.name} is ` +
      `${beer.originalGravity.toFixed(3)}: such readings are not believed. Is this the right beer file?`,
  ]
}
