import { readYaml } from '@attemper/core/source-text/read-yaml.ts'
import { startReading } from '@attemper/core/source-text/reading.ts'
import { expect, test } from 'vitest'
import { withListened, withMapping } from './mapping-text.ts'

const FLOAT = {
  topic: 'floats/7',
  readings: [
    { at: '/gravity', instrument: 'Float', quantity: 'gravity', unit: '°P' },
    { at: '/temp', instrument: 'Float', quantity: 'beer', unit: null },
  ],
  time: { at: '/ts', format: 'unix s' },
}

function faults(text: string) {
  const reading = startReading(text, 'doors')
  readYaml(reading)
  return reading.findings()
}

test('a mapping is written into an empty text, and behind what stands there', () => {
  const lines = [
    'mappings:',
    '  my float:',
    '    topic: floats/7',
    '    readings:',
    '      - { at: /gravity, instrument: Float, quantity: gravity, unit: °P }',
    '      - { at: /temp, instrument: Float, quantity: beer }',
    '    time: { at: /ts, format: unix s }',
    '',
  ].join('\n')
  expect(withMapping('', 'my float', FLOAT)).toBe(lines)
  expect(withMapping('# doors\nheater: none', 'my float', FLOAT)).toBe(`# doors\nheater: none\n${lines}`)
})

test('beside other mappings it takes a line of its own, and comments stay', () => {
  const before =
    'mappings: # two\n  a:\n    readings: [{ at: /t, quantity: beer, instrument: Probe }]\nheater: none\n'
  const after = withMapping(before, 'my float', { ...FLOAT, time: null })
  expect(after).toContain('mappings: # two\n  a:\n')
  expect(after).toMatch(
    /\n {2}my float: \{ topic: floats\/7, readings: \[\{ at: \/gravity, .*\}\] \}\nheater: none\n/,
  )
  const braces = withMapping('{ heater: none }', 'my float', FLOAT)
  expect(braces).toMatch(/^\{ heater: none, mappings: \{ my float: \{/)
  for (const text of [after, braces]) expect(faults(text!)).toEqual([])
})

test('odd names are put into quotation marks', () => {
  const odd = {
    topic: 'a: b',
    readings: [{ at: '/x #y', instrument: '#1', quantity: 'beer', unit: '%' }],
    time: null,
  }
  expect(faults(withMapping('', '{odd}', odd)!)).toEqual([])
})

test('a probe of this machine is listened to; what can not be changed is left alone', () => {
  expect(withListened('', 'Probe', '{ one-wire: 28-000000abcdef }')).toBe(
    'listen:\n  Probe: { one-wire: 28-000000abcdef }\n',
  )
  expect(withListened('listen:\n  Probe: { one-wire: 28-0 }\n', 'Probe', '{ one-wire: 28-1 }')).toBe(
    'listen:\n  Probe: { one-wire: 28-1 }\n',
  )
  expect(withListened('listen:\n', 'Probe', '{ one-wire: 28-1 }')).toBeNull()
})
