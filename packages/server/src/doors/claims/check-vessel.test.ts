import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { checkVessel } from './check-vessel.ts'
import { harmfulClashes } from './harmful-clashes.ts'

const TEXT = readFileSync(
  new URL('../../../../../examples/garage-fridge.vessel.yaml', import.meta.url),
  'utf8',
)
const named = (name: string) => TEXT.replace('vessel: Garage fridge', `vessel: ${JSON.stringify(name)}`)
const record = (name: string, doors = '', text = named(name)) => ({ name, text, doors, changed_ms: 0 })
const lines = (doors: string, others: readonly ReturnType<typeof record>[] = [], text = TEXT) =>
  checkVessel(text, doors, others).map(
    ({ severity, file, line, message, cure }) => `${severity} ${file}:${line}: ${message} ${cure}`,
  )

test('a vessel by itself, and one that replaces itself, is in order', () => {
  expect(lines('')).toEqual([])
  expect(
    lines('heater: { gpio: { line: 17 } }', [record('Garage fridge', 'heater: { gpio: { line: 17 } }')]),
  ).toEqual([])
})

// The incident: “Garage fridge” and “Garage-fridge” stood side by side. Both commanded one appliance, so that it heated for
// the one and chilled for the other at once, and the token of one wrote into the records of the other.
test.each(['Garage-fridge', 'garage fridge', 'Gàrage  fridge', '-Garage fridge!'])(
  'a name that is the same in topics as another vessel’s: %s',
  name => {
    const line = 1 + TEXT.slice(0, TEXT.indexOf('vessel: ')).split('\n').length - 1
    const said = lines('', [record('Garage fridge')], named(name))
    expect(said).toEqual([
      expect.stringMatching(
        new RegExp(`^error vessel:${line}: .*are the same name in topics and addresses \\(garage-fridge\\)`),
      ),
    ])
    expect(said[0]).toContain('or remove “Garage fridge” first.')
  },
)

test('a name of signs only, a reserved one, two that are the same', () => {
  expect(lines('', [], named('!!!'))).toEqual([expect.stringContaining('has no letter and no digit')])
  for (const name of ['Appliance', 'Refused', 'refused!']) {
    const text = TEXT.replace('instrument: Air probe', `instrument: ${name}`)
    const at = text.slice(0, text.indexOf(`instrument: ${name}`)).split('\n').length
    expect(lines('', [], text)).toEqual([
      expect.stringMatching(new RegExp(`^error vessel:${at}: .*can not be the name of an instrument`)),
    ])
  }
  expect(lines('', [], TEXT.replace('instrument: Air probe', 'instrument: "- -"'))).toEqual([
    expect.stringContaining('has no letter and no digit'),
  ])
  expect(lines('', [], TEXT.replace('instrument: Air probe', 'instrument: probe'))).toEqual([
    expect.stringContaining('“probe” and “Probe” are the same name in topics'),
  ])
})

// The incident: ESC and BEL in a name reached the terminal and the log.
test('a name with characters that act instead of showing', () => {
  expect(lines('', [], named('Garage \u001b[2J fridge'))).toEqual([
    expect.stringContaining('a character that can not be seen (U+001B)'),
  ])
  const text = TEXT.replace('instrument: Air probe', 'instrument: "Air \\u202Eprobe"')
  expect(lines('', [], text)).toEqual([expect.stringContaining('(U+202E)')])
})

const COIL = '{ modbus: { host: plc.local, coil: 3 } }'

test.each([
  ['{ gpio: { line: 17 } }', '{ gpio: { chip: /dev/gpiochip0, line: 17, active low: true } }', 'Line 17 of'],
  ['{ gpio: { chip: "0", line: 4 } }', '{ gpio: { line: 4 } }', 'Line 4 of gpiochip0'],
  [COIL, '{ modbus: { host: PLC.local., port: 502, unit: 1, coil: 3 } }', 'Coil 3 of unit 1 at'],
  ['{ http: http://plug.local/on }', '{ http: "http://PLUG.local:80/on/" }', 'The address'],
])('heater and cooler on one switch: %s and %s', (heater, cooler, thing) => {
  const said = lines(`heater: ${heater}\ncooler: ${cooler}`)
  expect(said).toEqual([
    expect.stringMatching(/^error doors:2: .* belongs to the heater already; the cooler can not/),
  ])
  expect(said[0]).toContain(`: ${thing}`)
  const apart = `heater: ${heater}\ncooler: ${cooler.replace(/17|3 }|4 }|\/on/, found => (found === '/on' ? '/off' : found.replace(/\d+/, '99')))}`
  expect(lines(apart)).toEqual([])
  // In two vessels it is no better.
  const other = record('Tank', `heater: ${heater}`)
  expect(lines(`cooler: ${cooler}`, [other])).toEqual([
    expect.stringMatching(
      /^error doors:1: .* belongs to the heater of Tank already; the cooler of Garage fridge can/,
    ),
  ])
})

test('one probe for two instruments, and one instrument from two probes', () => {
  const twice = 'listen:\n  Probe: { one-wire: 28-0316a2791bff }\n  Air probe: { one-wire: 28-0316a2791bff }'
  expect(lines(twice)).toEqual([
    'error doors:3: The 1-Wire probe 28-0316a2791bff belongs to Probe already; Air probe can not have it too. Give each instrument a probe of its own.',
  ])
  const two = 'listen:\n  Probe: { one-wire: 28-0316a2791bff }\n  probe: { hwmon: sht3x/temp1 }'
  expect(lines(two)).toEqual([
    expect.stringContaining('error doors:3: “probe” and “Probe” are the same instrument'),
  ])
  const register = (first: number, type = 'float32') =>
    `{ modbus: { host: a, input register: ${first}, type: ${type} } }`
  const overlap = `listen:\n  Probe: ${register(4)}\n  Air probe: ${register(5, 'int16')}`
  expect(lines(overlap)).toEqual([
    expect.stringContaining('Input register 5 of unit 1 at a:502 belongs to Probe'),
  ])
  expect(lines(overlap.replace('register: 5', 'register: 6'))).toEqual([])
})

test('one probe in two vessels: an error for beer, a warning for the air of one cabinet', () => {
  const doors = (name: string) => `listen:\n  ${name}: { one-wire: 28-0316a2791bff }`
  expect(lines(doors('Probe'), [record('Tank', doors('Probe'))])).toEqual([
    expect.stringMatching(/^error doors:2: The 1-Wire probe .* belongs to Probe of Tank already/),
  ])
  expect(lines(doors('Air probe'), [record('Tank', doors('Air probe'))])).toEqual([
    expect.stringMatching(/^warning doors:2: .*This is right if both vessels stand in the same air/),
  ])
  expect(lines(doors('Air probe'), [record('Tank', doors('Probe'))])).toEqual([
    expect.stringMatching(/^error/),
  ])
})

test('one topic of two mappings', () => {
  const mapping = 'instrument: Float, readings: [{ at: /g, quantity: gravity }]'
  const doors = `mappings:\n  one: { topic: floats/7, ${mapping} }\n  two: { topic: floats/7, ${mapping} }`
  expect(lines(doors)).toEqual([
    expect.stringMatching(/^error doors:3: The topic floats\/7 belongs to the mapping “one” already/),
  ])
  expect(lines(doors.split('\n').slice(0, 2).join('\n'), [record('Tank', doors)])).not.toEqual([])
})

test('which clashes keep batches from being commanded', () => {
  const air = 'listen:\n  Air probe: { one-wire: 28-0316a2791bff }'
  expect(harmfulClashes([record('Tank', air), record('Garage fridge', air)])).toEqual([])
  const [names] = harmfulClashes([record('Garage-fridge'), record('Garage fridge')])
  expect(names?.vessels).toEqual(['Garage-fridge', 'Garage fridge'])
  const within = harmfulClashes([record('Tank', `heater: ${COIL}\ncooler: ${COIL}`)])
  expect(within).toMatchObject([{ vessels: ['Tank', 'Tank'] }])
})
