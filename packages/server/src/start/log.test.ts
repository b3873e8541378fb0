import { expect, test } from 'vitest'
import { logTo } from './log.ts'

test('each line has its time and its level, and nobody can write a line of their own into it', () => {
  const lines: string[] = []
  const log = logTo(
    line => lines.push(line),
    () => Date.UTC(2026, 10, 28, 15, 40, 12),
  )
  log('The cellar is open.')
  log('Alarm 1: Amber in “\u001b[2J\u0007Garage”: held.', 'warning')
  log('Error: no\n2026-11-28T15:40:12Z info    all is well', 'error')
  expect(lines).toEqual([
    '2026-11-28T15:40:12Z info    The cellar is open.',
    '2026-11-28T15:40:12Z warning Alarm 1: Amber in “\ufffd[2J\ufffdGarage”: held.',
    '2026-11-28T15:40:12Z error   Error: no\n    2026-11-28T15:40:12Z info    all is well',
  ])
})
