import { describe, expect, test } from 'vitest'
import type { EngineEvent, Question } from '../engine/events.ts'
import { replaySummary } from './replay-summary.ts'

const DAY_s = 86_400
const start_s = Date.UTC(2026, 11, 4, 18) / 1000
const question: Question = { id: 1, about: 'late', stage: 'Primary', text: '', subject: '' }

function enters(stage: string, from: string | null, day: number): EngineEvent {
  return { kind: 'stage', stage, from, why: 'condition', at_s: start_s + (day - 1) * DAY_s }
}

describe('what the plan would have done', () => {
  test('names each stage that it went on to, and the end', () => {
    const events = [
      enters('Primary', null, 1),
      enters('Warm finish', 'Primary', 6),
      enters('Crash', 'Warm finish', 9),
    ]
    const end = { start_s, ended_s: start_s + 13 * DAY_s, stage: null, openQuestions: 0 }
    expect(replaySummary(events, end)).toBe(
      'With this record the plan would have gone on to Warm finish on day 6 and Crash on day 9 and would have been complete on day 14.',
    )
  })

  test('says where it got stuck, and what it waits for', () => {
    const events: EngineEvent[] = [
      enters('Primary', null, 1),
      { kind: 'asked', question, at_s: start_s + 10 * DAY_s },
    ]
    const end = { start_s, ended_s: start_s + 17 * DAY_s, stage: 'Primary', openQuestions: 1 }
    expect(replaySummary(events, end)).toBe(
      'With this record the plan would have asked you once and would still have been in Primary when the record ends on day 18, with a question still unanswered.',
    )
  })
})
