import { readCase } from '@attemper/core/batch/batch-case.ts'
import { batchSentence } from '@attemper/core/batch/batch-sentence.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { Question } from '@attemper/core/engine/events.ts'
import { initialState } from '@attemper/core/engine/initial.ts'
import { describe, expect, it } from 'vitest'
import { AMBER_ALE, AMBER_BEER, FRIDGE, START_S } from './testing/small-cellar.ts'

const { program, context } = readCase({
  planText: AMBER_ALE,
  vesselText: FRIDGE,
  beerText: AMBER_BEER,
  localOffset_s: 0,
}).batch!

const value = (quantity: string, known: number | null) =>
  program.channels.flatMap((channel, number) =>
    program.quantities[channel.quantity]!.name === quantity && known !== null ? [{ number, known }] : [],
  )[0]

function sentenceOf(
  part: Partial<EngineState>,
  beer_C: number | null = 18.12,
  gravity: number | null = 1.031,
) {
  const first = initialState(program)
  const channels = first.channels.slice()
  const inCharge = first.inCharge.slice()
  for (const each of [value('beer', beer_C), value('gravity', gravity)]) {
    if (!each) continue
    channels[each.number] = { ...channels[each.number]!, value: each.known, trusted: true }
    inCharge[program.channels[each.number]!.quantity] = each.number
  }
  const state = {
    ...first,
    batch: 'running' as const,
    stageSince_s: START_S,
    target_C: 18,
    channels,
    inCharge,
    ...part,
  }
  return batchSentence({ name: 'Amber ale', state, program, context, now_s: START_S + 2.4 * 86_400 })
}

const question = (part: Partial<Question>): Question => ({
  id: 3,
  about: 'go on',
  stage: 'Warm finish',
  text: '',
  subject: '',
  ...part,
})

describe('the sentence about a batch', () => {
  it('says where it is, how warm, how far, and that all is well', () => {
    expect(sentenceOf({})).toBe(
      'Amber ale: in Primary for 2 days, 18.1 °C (target 18.0 °C), gravity 1.031; all is well.',
    )
  })

  it('says what it waits for; what holds it up comes before a task', () => {
    const questions = [
      question({ id: 2, about: 'task', text: 'add dry hops', subject: 'add dry hops' }),
      question({ text: 'Does it taste clean?' }),
    ]
    expect(sentenceOf({ stage: 1, questions })).toBe(
      'Amber ale: in Warm finish for 2 days, 18.1 °C (target 18.0 °C), gravity 1.031. ' +
        'Question 3 to the brewer: may Warm finish end? “Does it taste clean?” ' +
        'Question 2 to the brewer: is “add dry hops” done?',
    )
  })

  it('names what is wrong first', () => {
    const disagreeing = [{ quantity: program.beer, since_s: START_S, said: true }]
    expect(sentenceOf({ limitBroken: 'highest', disagreeing }, 24.5)).toBe(
      'Amber ale: in Primary for 2 days, 24.5 °C (target 18.0 °C), gravity 1.031. ' +
        "It is beyond the plan's highest limit. Two instruments disagree about the beer temperature.",
    )
    expect(sentenceOf({}, null, null)).toBe(
      'Amber ale: in Primary for 2 days, temperature unknown (target 18.0 °C), gravity unknown. ' +
        'Nobody knows how warm the beer is, so nothing heats or cools: look at the probe.',
    )
  })

  it('knows a batch that is held, complete or over', () => {
    expect(sentenceOf({ batch: 'held' })).toBe(
      'Amber ale: held in Primary for 2 days, 18.1 °C (target 18.0 °C), gravity 1.031; it goes on when you say so.',
    )
    expect(sentenceOf({ batch: 'complete', stage: 2, target_C: 2 }, 2.1, 1.012)).toBe(
      'Amber ale: the plan is complete, kept at its last target, 2.1 °C (target 2.0 °C), gravity 1.012.',
    )
    expect(sentenceOf({ batch: 'aborted', target_C: null })).toBe(
      'Amber ale: aborted in Primary. Everything is off.',
    )
  })
})
