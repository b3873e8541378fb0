import type { EngineState } from '../engine/contract.ts'
import type { Question } from '../engine/events.ts'
import type { Program } from '../engine/program.ts'
import type { SentenceContext } from '../report/sentences/context.ts'
import { sentenceFor } from '../report/sentences/sentence.ts'
import { formatGravity, formatTemperature, spellDuration } from '../units/format.ts'

export interface SentenceParts {
  readonly name: string
  readonly state: EngineState
  readonly program: Program
  readonly context: SentenceContext
  readonly now_s: number
}

/** The value that is believed for a quantity of the program (its index); null: unknown. */
export function believedValue(state: EngineState, quantity: number): number | null {
  const channel = quantity < 0 ? -1 : (state.inCharge[quantity] ?? -1)
  return channel < 0 ? null : (state.channels[channel]?.value ?? null)
}

/**
 * How a batch is doing, in one line that could be read out over the telephone: where it is, how warm, how far; then what
 * needs the brewer, or that all is well.
 */
export function batchSentence(parts: SentenceParts): string {
  const { name, state, program } = parts
  switch (state.batch) {
    case 'idle':
      return `${name}: not started yet.`
    case 'stopped':
      return `${name}: stopped in ${stageName(parts)}. Everything is off.`
    case 'aborted':
      return `${name}: aborted in ${stageName(parts)}. Everything is off.`
    case 'complete': {
      const kept = program.side === 'fermentation' ? ', kept at its last target' : ''
      const needs = needsOf(parts)
      const what = `${name}: the plan is complete${kept}${measured(parts)}`
      return needs.length === 0 ? `${what}.` : `${what}. ${needs.join(' ')}`
    }
    case 'running':
    case 'held': {
      const held = state.batch === 'held' ? 'held in' : 'in'
      const time = howLong(parts.now_s - state.stageSince_s)
      const what = `${name}: ${held} ${stageName(parts)}${time}${measured(parts)}`
      const needs = needsOf(parts)
      if (needs.length > 0) return `${what}. ${needs.join(' ')}`
      return state.batch === 'held' ? `${what}; it goes on when you say so.` : `${what}; all is well.`
    }
  }
}

const stageName = ({ program, state }: SentenceParts) => program.stages[state.stage]?.name ?? 'the plan'

/** The largest whole unit is what one says of a stage: "in Primary for 2 days". */
function howLong(elapsed_s: number): string {
  if (elapsed_s < 60) return ', just begun'
  const unit_s = [86_400, 3600, 60].find(each => elapsed_s >= 2 * each) ?? 60
  return ` for ${spellDuration(Math.floor(elapsed_s / unit_s) * unit_s)}`
}

function measured({ state, program, context }: SentenceParts): string {
  const { units } = context
  const beer_C = believedValue(state, program.beer)
  const gravity = believedValue(state, program.gravity)
  const beer = beer_C === null ? ', temperature unknown' : `, ${formatTemperature(beer_C, units)}`
  const target = state.target_C === null ? '' : ` (target ${formatTemperature(state.target_C, units)})`
  if (program.gravity < 0) return `${beer}${target}`
  return `${beer}${target}, gravity ${gravity === null ? 'unknown' : formatGravity(gravity, units)}`
}

/** What a person should know or do, the most urgent first; each a sentence. */
function needsOf({ state, program, context, now_s }: SentenceParts): string[] {
  const needs: string[] = []
  if (believedValue(state, program.beer) === null) {
    const subject = program.side === 'hot side' ? 'the kettle' : 'the beer'
    needs.push(`Nobody knows how warm ${subject} is, so nothing heats or cools: look at the probe.`)
  }
  if (state.limitBroken !== null) needs.push(`It is beyond the plan's ${state.limitBroken} limit.`)
  for (const { quantity, said } of state.disagreeing) {
    if (said) needs.push(`Two instruments disagree about the ${quantityName(program, quantity)}.`)
  }
  // A task that has been told is named last: other questions hold the batch up.
  const ordered = state.questions.toSorted((a, b) => Number(a.about === 'task') - Number(b.about === 'task'))
  for (const question of ordered) needs.push(askedAs(question, now_s, context))
  return needs
}

function askedAs(question: Question, at_s: number, context: SentenceContext): string {
  return sentenceFor({ kind: 'asked', at_s, question }, context)
}

function quantityName(program: Program, quantity: number): string {
  const name = program.quantities[quantity]?.name ?? ''
  return name === 'beer' || name === 'air' ? `${name} temperature` : name
}
