import { describe, expect, it } from 'vitest'
import { ALARM_KINDS } from './catalogue.ts'
import { alarmSentence } from './say-alarm.ts'

describe('what an alarm says', () => {
  it('names what it is about', () => {
    expect(alarmSentence({ code: 'instrument-lost', subject: 'Probe 2' })).toBe(
      'Probe 2 is silent or not believed.',
    )
    expect(alarmSentence({ code: 'limit-broken', subject: 'lowest' })).toBe(
      'The beer is colder than the lowest limit.',
    )
    expect(alarmSentence({ code: 'question-open', subject: '3', detail: 'may rest end?' })).toBe(
      'The plan asks: may rest end?',
    )
    expect(alarmSentence({ code: 'question-open', subject: '3', detail: 'may it end? “Is it clean?”' })).toBe(
      'The plan asks: may it end? “Is it clean?”',
    )
  })

  it('is one sentence that differs from kind to kind', () => {
    const sentences = ALARM_KINDS.map(({ code }) => alarmSentence({ code, subject: 'x' }))
    expect(new Set(sentences).size).toBe(ALARM_KINDS.length)
    for (const sentence of sentences) expect(sentence).toMatch(/^[A-Z].*[.?]$/)
  })
})
