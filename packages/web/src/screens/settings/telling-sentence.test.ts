import type { Channel } from '@attemper/server/http/published.ts'
import { expect, test } from 'vitest'
import { tellingSentence } from './telling-sentence.ts'

const BELL: Channel = {
  name: 'bell',
  kind: 'mqtt',
  where: 'house/bell',
  told: ['Kim'],
  waiting: 0,
  problem: null,
  took_ms: null,
  failed_ms: null,
}

test('how it stands with telling is one sentence', () => {
  expect(tellingSentence(0, [])).toBe('Nobody is told of alarms yet, unless they look here.')
  expect(tellingSentence(0, [{ ...BELL, told: [] }])).toContain('Nobody')
  expect(tellingSentence(1, [])).toBe('Alarms are told to one device.')
  expect(tellingSentence(2, [BELL, { ...BELL, name: 'mail', problem: 'no server' }])).toBe(
    'Alarms are told to 2 devices, bell and mail, but mail fails.',
  )
})
