import { readFileSync } from 'node:fs'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { expect, test } from 'vitest'
import { readDoorSettings, USUAL_DOORS } from './door-settings.ts'

const read = (text: string) => readDoorSettings(text, 'doors')
const messages = (text: string) =>
  read(text).findings.map(({ line, message, cure }) => `${line}: ${message} ${cure}`)

test('nothing said: commands by MQTT', () => {
  expect(read('')).toEqual({ settings: USUAL_DOORS, findings: [] })
  expect(read('cooler: none').settings).toEqual({ ...USUAL_DOORS, cooler: { kind: 'none' } })
  expect(read('heater: { mqtt: true }\ncooler: { http: http://plug.local/cooler }')).toEqual({
    findings: [],
    settings: { ...USUAL_DOORS, cooler: { kind: 'http', url: 'http://plug.local/cooler' } },
  })
})

test('mappings', () => {
  const text = `
mappings:
  my float:
    topic: floats/7
    items: /log
    instrument: Float
    readings:
      - { at: /g, quantity: gravity, unit: SG }
      - { at: /t, quantity: beer, unit: °F, instrument: Probe }
    time: { at: /when, format: ISO 8601 }
`
  expect(read(text)).toEqual({
    findings: [],
    settings: {
      ...USUAL_DOORS,
      mappings: {
        'my float': {
          topic: 'floats/7',
          mapping: {
            items: '/log',
            instrument: 'Float',
            readings: [
              { at: '/g', quantity: 'gravity', unit: 'SG' },
              { at: '/t', quantity: 'beer', unit: '°F', instrument: 'Probe' },
            ],
            time: { at: '/when', format: 'ISO 8601' },
          },
        },
      },
    },
  })
})

test('wires: coils and lines out, registers and kernel files in', () => {
  const text = `
heater: { gpio: { line: 17 } }
cooler: { modbus: { host: plc.local, port: 1502, unit: 4, coil: 3 } }
listen:
  Probe: { one-wire: 28-000000abcdef }
  Air probe: { hwmon: roomchip/temp1, quantity: air }
  Float:
    modbus: { host: 192.0.2.7, holding register: 40, type: float32, low word first: true }
    quantity: gravity
    unit: °P
`
  expect(read(text)).toEqual({
    findings: [],
    settings: {
      ...USUAL_DOORS,
      heater: { kind: 'gpio', line: { chip: 'gpiochip0', line: 17, activeLow: false } },
      cooler: { kind: 'modbus', coil: { host: 'plc.local', port: 1502, unit: 4, coil: 3 } },
      mappings: {},
      listen: {
        Probe: { kind: 'one-wire', id: '28-000000abcdef' },
        'Air probe': { kind: 'hwmon', input: 'roomchip/temp1', quantity: 'air' },
        Float: {
          kind: 'modbus',
          quantity: 'gravity',
          unit: '°P',
          register: {
            host: '192.0.2.7',
            port: 502,
            unit: 1,
            kind: 'holding',
            register: 40,
            type: 'float32',
            lowWordFirst: true,
            scale: 1,
          },
        },
      },
    },
  })
  const active = read('heater: { gpio: { chip: gpiochip4, line: 5, active low: true } }').settings
  expect(active?.heater).toEqual({ kind: 'gpio', line: { chip: 'gpiochip4', line: 5, activeLow: true } })
})

test.each([
  ['heater: { gpio: {} }', /needs “line”/],
  ['heater: { gpio: { line: 17.5 } }', /not a whole number/],
  ['heater: { gpio: { line: -1 } }', /from 0 to 1023/],
  ['heater: { gpio: { line: 17, chip: "a b" } }', /not a GPIO chip/],
  ['heater: { gpio: { line: 17 }, mqtt: true }', /exactly one door/],
  ['cooler: { modbus: { coil: 3 } }', /needs “host”/],
  ['cooler: { modbus: { host: "http://plc/", coil: 3 } }', /not the name of a device/],
  ['cooler: { modbus: { host: plc, coil: 65536 } }', /from 0 to 65535/],
  ['listen: [Probe]', /instruments by their names/],
  ['listen: { Probe: {} }', /exactly one way/],
  ['listen: { Probe: { one-wire: ../../etc } }', /not the number of a 1-Wire probe.*ls \/sys/],
  ['listen: { Probe: { hwmon: ../temp1 } }', /not an input of a sensor chip/],
  ['listen: { Probe: { one-wire: 28-000000abcdef, hwmon: roomchip/temp1 } }', /exactly one way/],
  ['listen: { Probe: { one-wire: 28-000000abcdef, unit: °F } }', /units of its own/],
  ['listen: { P: { modbus: { host: plc } } }', /exactly one register/],
  [
    'listen: { P: { modbus: { host: plc, input register: 1, holding register: 1 } } }',
    /exactly one register/,
  ],
  ['listen: { P: { modbus: { host: plc, input register: x } } }', /“x”/],
  ['listen: { P: { modbus: { host: plc, input register: 1, type: int8 } } }', /int16/],
  [
    'listen: { P: { modbus: { host: plc, input register: 1 }, quantity: beer, unit: bar } }',
    /no unit of beer/,
  ],
])('%s', (text, said) => {
  expect(messages(text)).toEqual([expect.stringMatching(said)])
  expect(read(text).settings).toBeNull()
})

test('what is wrong is found at its line, with its cure', () => {
  const reading = (rest: string) => `mappings:\n  f: { instrument: Float, readings: [${rest}] }`
  expect(messages('heater: steam')[0]).toMatch(/^1: .*mqtt/)
  expect(messages('heater: mqtt\ncooler: { mqtt: true, http: http://a/ }')[0]).toMatch(
    /^2: An appliance has exactly one door/,
  )
  expect(messages('cooler: { http: plug.local }')[0]).toMatch(/not the address of an appliance/)
  expect(messages('chiller: mqtt')[0]).toMatch(/Did you mean “cooler”/)
  expect(messages('cooler: {}')[0]).toMatch(/exactly one door/)
  expect(messages(reading('{ at: g, quantity: gravity }'))[0]).toMatch(/begin with a slash/)
  expect(messages(reading('{ at: /g, quantity: gravity, unit: bar }'))[0]).toMatch(
    /“bar” is no unit of “gravity”/,
  )
  expect(messages(reading(''))[0]).toMatch(/empty/)
  expect(
    messages(
      'mappings: { f: { topic: attemper/a, instrument: F, readings: [{ at: /g, quantity: pH }] } }',
    )[0],
  ).toMatch(/can not be a topic/)
  expect(messages('mappings: [1]')[0]).toMatch(/mappings by their names/)
  for (const text of ['heater: steam', '[', '- a', '{{{', 'heater: [mqtt]'])
    expect(read(text).settings).toBeNull()
})

test('a thermostat: told its target by message, or in a register', () => {
  expect(read('thermostat: { http: http://chiller.local/target }').settings).toEqual({
    ...USUAL_DOORS,
    thermostat: { kind: 'http', url: 'http://chiller.local/target' },
  })
  const register = '{ host: chiller.local, holding register: 3, scale: 0.1, off: 20 °C }'
  expect(read(`thermostat: { modbus: ${register} }`).settings?.thermostat).toEqual({
    kind: 'register',
    register: {
      host: 'chiller.local',
      port: 502,
      unit: 1,
      register: 3,
      type: 'int16',
      lowWordFirst: false,
      scale: 0.1,
      off_C: 20,
    },
  })
  expect(messages('thermostat: { modbus: { host: chiller.local, holding register: 3 } }')[0]).toContain('off')
  expect(messages('thermostat: { gpio: { line: 17 } }').join(' ')).toContain('gpio')
  expect(messages('thermostat: { modbus: { host: chiller.local, coil: 3 } }').join(' ')).toContain('coil')
})

test('the instruments that are named have to be those of the vessel', () => {
  const { vessel } = readVessel(
    readFileSync(new URL('../../../../examples/garage-fridge.vessel.yaml', import.meta.url), 'utf8'),
    'vessel',
  )
  const said = (text: string) =>
    readDoorSettings(text, 'doors', vessel).findings.map(
      ({ line, column, message, cure }) => `${line}:${column} ${message} ${cure}`,
    )
  const probe = '{ one-wire: 28-000000abcdef }'
  expect(said(`listen: { Probe: ${probe}, air-probe: ${probe} }`)).toEqual([])
  expect(said(`listen:\n  Prob: ${probe}`)).toEqual([
    '2:3 The vessel has no instrument “Prob”. Did you mean “Probe”?',
  ])
  expect(said(`listen: { Float: ${probe} }`)).toEqual([
    '1:11 Float measures gravity and beer. Say which is read, as in quantity: gravity.',
  ])
  expect(said('listen: { Probe: { one-wire: 28-000000abcdef, quantity: pH } }')).toEqual([
    '1:11 Probe does not measure pH. It measures beer.',
  ])
  const mapping = (instrument: string) =>
    `mappings: { f: { instrument: ${instrument}, readings: [{ at: /g, quantity: gravity }] } }`
  expect(said(mapping('float'))).toEqual([])
  expect(said(mapping('Sonde'))).toEqual([
    '1:30 The vessel has no instrument “Sonde”. It has Probe, Air probe, Float.',
  ])
  expect(readDoorSettings(mapping('Sonde'), 'doors').findings).toEqual([])
})
