import type { EngineEvent } from '@attemper/core/engine/events.ts'
import { describe, expect, test } from 'vitest'
import { eventLines } from './event-log.ts'

const context = {
  units: { temperature: 'C', gravity: 'SG', volume: 'L' },
  plan: { name: 'Amber', side: 'fermentation' },
} as const
const START_s = Date.UTC(2026, 11, 4, 18) / 1000

function quarrel(at_s: number, kind: 'disagree' | 'agree'): EngineEvent {
  return { at_s, kind, quantity: 'beer', instruments: ['Probe', 'Float'], difference: 1 }
}

describe('a log of decisions', () => {
  test('hangs each sentence behind its moment', () => {
    const text = eventLines([quarrel(START_s + 60, 'disagree')], context, START_s, 50)
    const [first, ...rest] = text.split('\n')
    expect(first).toMatch(/^day 1, 18:01 {2}\S/)
    expect(rest.length).toBeGreaterThan(0)
    for (const line of rest) expect(line).toMatch(/^ {14}\S/)
  })

  test('counts what goes to and fro instead of filling the screen with it', () => {
    const events = Array.from({ length: 100 }, (_, index) =>
      quarrel(START_s + index * 60, index % 2 === 0 ? 'disagree' : 'agree'),
    )
    const text = eventLines(events, context, START_s, 200)
    expect(text.split('\n')).toHaveLength(3)
    expect(text).toContain('After 97 more changes of the same kind')
    expect(text).toContain('day 1, 19:39')
  })

  test('says everything as long as something else happens between', () => {
    const begun: EngineEvent = { at_s: START_s, kind: 'stage', stage: 'Primary', from: null, why: 'start' }
    const events = [0, 1, 2, 3, 4, 5].flatMap(() => [quarrel(START_s, 'disagree'), begun])
    expect(eventLines(events, context, START_s, 200).split('\n')).toHaveLength(12)
  })
})
