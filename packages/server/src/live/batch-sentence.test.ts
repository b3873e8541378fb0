import { readCase } from '@attemper/core/batch/batch-case.ts'
import { batchSentence, type SentenceParts } from '@attemper/core/batch/batch-sentence.ts'
import { doubtsOf, type Standing } from '@attemper/core/batch/doubts.ts'
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

const NOW_S = START_S + 2.4 * 86_400

const value = (quantity: string, known: number | null) =>
  program.channels.flatMap((channel, number) =>
    program.quantities[channel.quantity]!.name === quantity && known !== null ? [{ number, known }] : [],
  )[0]

function sentenceOf(
  part: Partial<EngineState>,
  beer_C: number | null = 18.12,
  gravity: number | null = 1.031,
  rest: Partial<SentenceParts> & Partial<Pick<Standing, 'heldBy'>> = {},
) {
  const first = initialState(program)
  const channels = first.channels.slice()
  const inCharge = first.inCharge.slice()
  for (const each of [value('beer', beer_C), value('gravity', gravity)]) {
    if (!each) continue
    channels[each.number] = { ...channels[each.number]!, value: each.known, at_s: NOW_S - 10, trusted: true }
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
  const { heldBy = null, ...more } = rest
  const standing = { program, context, state, now_s: NOW_S, heldBy, isKept: true, unwrittenSince_s: null }
  const doubts = doubtsOf({ ...standing, links: [], past: [], alarms: [] })
  return batchSentence({ name: 'Amber ale', state, program, context, now_s: NOW_S, doubts, ...more })
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
    const hold = { since_s: NOW_S - 7200, by: 'brewer', keeps_C: null } as const
    expect(sentenceOf({ batch: 'held', hold }, 18.1, 1.031, { heldBy: 'Kim' })).toBe(
      'Amber ale: held in Primary for 2 days, 18.1 °C (target 18.0 °C), gravity 1.031. ' +
        'It is held by Kim since 01:36; it goes on when you say so.',
    )
    expect(sentenceOf({ batch: 'complete', stage: 2, target_C: 2 }, 2.1, 1.012)).toBe(
      'Amber ale is complete and kept at 2.0 °C, 2.1 °C, gravity 1.012; all is well.',
    )
    const at_s = START_S + 86_400
    expect(
      sentenceOf({ batch: 'aborted', target_C: null }, 18, 1.03, {
        ending: { at_s, was: 'running', by: 'Kim' },
      }),
    ).toBe(
      'Amber ale: was aborted by Kim in Primary on 5 December 2026 at 18:00. Everything was switched off.',
    )
    // A batch that was complete has not been stopped in its last stage.
    expect(
      sentenceOf({ batch: 'stopped', target_C: null, stage: 2 }, 2, 1.012, {
        ending: { at_s, was: 'complete', by: null },
      }),
    ).toBe('Amber ale: was complete, and was ended on 5 December 2026 at 18:00. Everything was switched off.')
  })

  it('of a batch as it was does not promise that all is well now', () => {
    expect(sentenceOf({}, 18.12, 1.031, { asItWas: true })).toBe(
      'Amber ale: in Primary for 2 days, 18.1 °C (target 18.0 °C), gravity 1.031.',
    )
  })
})
