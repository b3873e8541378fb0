import { expect, test } from 'vitest'
import { HandClock } from '../alarms/testing/hand-clock.ts'
import type { Trouble } from '../live/trouble.ts'
import { watchRecords } from './watch-records.ts'

function watched(damage: readonly string[] = []) {
  const clock = new HandClock(0)
  const troubles: Trouble[] = []
  const state: { problem: string | null } = { problem: null }
  const stop = watchRecords({
    store: { fileProblem: () => state.problem },
    damage,
    clock,
    timers: clock,
    onTrouble: trouble => troubles.push(trouble),
  })
  return { clock, troubles, state, stop }
}

test('a file that is gone is noticed within seconds although nothing is written, and told once until it is back', () => {
  const { clock, troubles, state, stop } = watched()
  clock.pass(60)
  expect(troubles).toEqual([])
  state.problem = 'It has been removed.'
  clock.pass(60)
  expect(troubles).toEqual([
    { kind: 'records failing', what: 'file', reason: 'It has been removed.', batch: null },
  ])
  state.problem = null
  clock.pass(11)
  expect(troubles.at(-1)).toEqual({ kind: 'records kept again', what: 'file', batch: null })
  stop()
  expect(clock.waiting).toBe(0)
})

test('damage that was found at the start is told', () => {
  const { troubles } = watched(['The table block of the database is damaged: page 7.'])
  expect(troubles).toMatchObject([{ kind: 'records failing', what: 'pages' }])
})
