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
