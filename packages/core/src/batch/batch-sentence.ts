import type { EngineState } from '../engine/contract.ts'
import type { BatchState } from '../engine/events.ts'
import type { Program } from '../engine/program.ts'
import type { SentenceContext } from '../report/sentences/context.ts'
import { formatClock, formatDate, formatTemperature, spellDuration } from '../units/format.ts'
import { type Doubt, verdictOf } from './doubts.ts'
import { measuredValue } from './measured.ts'
import { byWhom } from './named.ts'
import { sayDoubt } from './say-doubt.ts'
import { sayMeasured } from './say-measured.ts'

export interface SentenceParts {
  readonly name: string
  readonly state: EngineState
  readonly program: Program
  readonly context: SentenceContext
  readonly now_s: number
  /** Why it can not be said that all is well (doubts.ts); empty: it can. */
  readonly doubts: readonly Doubt[]
  /** How it ended; null: it goes on, or nobody knows. */
  readonly ending?: Ending | null
  /** It is told as it was when it was last heard of: whether all is still well, nobody here knows. */
  readonly asItWas?: boolean
}

/** How a batch ended. */
export interface Ending {
  readonly at_s: number
  /** What it was until then: one that was complete has not been stopped in its last stage. */
  readonly was: BatchState
  /** null: not known. */
  readonly by: string | null
}

/** The value that is believed for a quantity of the program (its index); null: unknown. */
export function believedValue(state: EngineState, quantity: number): number | null {
  const channel = quantity < 0 ? -1 : (state.inCharge[quantity] ?? -1)
  return channel < 0 ? null : (state.channels[channel]?.value ?? null)
}

/**
 * How a batch is doing, in one line that could be read out over the telephone: where it is, how warm, how far; then what
 * needs the brewer, or that all is well. That is a promise: it is said when nothing speaks against it, and where something can
 * not be known, that is said. A batch that has ended is told in the past, with its date.
 */
export function batchSentence(parts: SentenceParts): string {
  const { name, state, program, doubts, asItWas = false } = parts
  switch (state.batch) {
    case 'idle':
      return `${name}: not started yet.`
    case 'stopped':
    case 'aborted':
      return `${name}: ${endedWords(parts, state.batch)}. Everything was switched off.`
    case 'complete': {
      if (program.side === 'hot side')
        return `${name}: the plan was completed${dateWords(parts)}${lastMeasured(parts)}.`
      const kept =
        state.target_C === null
          ? ''
          : ` and kept at ${formatTemperature(state.target_C, parts.context.units)}`
      return finish(`${name} is complete${kept}${measured(parts)}`, doubts, asItWas, parts)
    }
    case 'running':
    case 'held': {
      const held = state.batch === 'held' ? 'held in' : 'in'
      const time = howLong(parts.now_s - state.stageSince_s)
      return finish(`${name}: ${held} ${stageName(parts)}${time}${measured(parts)}`, doubts, asItWas, parts)
    }
  }
}

function finish(what: string, doubts: readonly Doubt[], asItWas: boolean, parts: SentenceParts): string {
  const { program, context, now_s } = parts
  const telling = { context, now_s, localOffset_s: program.localOffset_s, side: program.side }
  switch (verdictOf(doubts)) {
    case 'well':
      return asItWas ? `${what}.` : `${what}; all is well.`
    case 'unknown': {
      const said = doubts.map(doubt => sayDoubt(doubt, telling)).join(' ')
      return asItWas ? `${what}. ${said}` : `${what}; whether all is well is unknown. ${said}`
    }
    case 'not well':
      return `${what}. ${doubts.map(doubt => sayDoubt(doubt, telling)).join(' ')}`
  }
}

function endedWords(parts: SentenceParts, how: 'stopped' | 'aborted'): string {
  const { ending } = parts
  const by = byWhom(ending?.by ?? null)
  if (ending?.was === 'complete') return `was complete, and was ended${by}${dateWords(parts)}`
  return `was ${how}${by} in ${stageName(parts)}${dateWords(parts)}`
}

/** " on 6 December 2026 at 13:05": when it ended. */
function dateWords({ ending, state, program, context }: SentenceParts): string {
  const at_s = ending?.at_s ?? state.now_s
  if (at_s === null) return ''
  const local_s = at_s + program.localOffset_s
  return ` on ${formatDate(local_s)} at ${formatClock(local_s, context.units)}`
}

const stageName = ({ program, state }: SentenceParts) => program.stages[state.stage]?.name ?? 'the plan'

/** The largest whole unit is what one says of a stage: "in Primary for 2 days". */
function howLong(elapsed_s: number): string {
  if (elapsed_s < 60) return ', just begun'
  const unit_s = [86_400, 3600, 60].find(each => elapsed_s >= 2 * each) ?? 60
  return ` for ${spellDuration(Math.floor(elapsed_s / unit_s) * unit_s)}`
}

function measured(parts: SentenceParts): string {
  const { state, program, context } = parts
  const target =
    state.target_C === null || state.batch === 'complete'
      ? ''
      : ` (target ${formatTemperature(state.target_C, context.units)})`
  const beer = `, ${valueWords(parts, program.beer, 'temperature')}${target}`
  return program.gravity < 0 ? beer : `${beer}, gravity ${valueWords(parts, program.gravity, '')}`
}

/** "18.2 °C"; "1.014 by hand, 6 days ago"; "unknown (last 1.012, 3 hours ago)". */
function valueWords(parts: SentenceParts, quantity: number, called: string): string {
  const { state, program, context, now_s } = parts
  const value = measuredValue(program, state, quantity, context, now_s)
  const unknown = called === '' ? 'unknown' : `${called} unknown`
  if (value === null) return unknown
  const saying = { context, now_s, localOffset_s: program.localOffset_s }
  const said = sayMeasured(value, program.quantities[quantity]!.name, saying)
  return value.isBelieved ? said : `${unknown} (last ${said})`
}

function lastMeasured(parts: SentenceParts): string {
  const { program, state, context, now_s } = parts
  const value = measuredValue(program, state, program.beer, context, now_s)
  return value === null ? '' : `; it was last at ${formatTemperature(value.value, context.units)}`
}
