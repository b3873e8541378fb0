import { describe, expect, test } from 'vitest'
import { withValue } from './text-value.ts'

const VESSEL = `# A bucket.
vessel: Garage fridge
beer: 20 L
room: { average: 14 °C ± 3 °C, warmest at: "16:00" } # cold
heater:
  power: 30 W ± 5 % # the label
  to wall: 3 W/°C
instruments:
  - instrument: Probe
    measures:
      beer: { noise: 0.03 °C }
  - instrument: Float
    measures: { gravity: {} }
`

describe('one value within a text', () => {
  test('is changed, and what is known of its uncertainty stays', () => {
    expect(withValue(VESSEL, ['heater', 'power'], '60 W')).toBe(
      VESSEL.replace('30 W ± 5 % # the label', '60 W ± 5 % # the label'),
    )
    expect(withValue(VESSEL, ['room', 'average'], '25 °C')).toBe(
      VESSEL.replace('14 °C ± 3 °C', '25 °C ± 3 °C'),
    )
  })

  test('is found within a list by what its item is', () => {
    const isProbe = (item: { entries: readonly { key: string; value: { kind: string; text?: string } }[] }) =>
      item.entries.some(({ value }) => value.text === 'Probe')
    expect(withValue(VESSEL, ['instruments', isProbe as never, 'measures', 'beer', 'noise'], '0.5 °C')).toBe(
      VESSEL.replace('0.03 °C', '0.5 °C'),
    )
  })

  test('is added where it is left out, in the manner of its mapping', () => {
    expect(withValue(VESSEL, ['room', 'daily swing'], '3 °C')).toBe(
      VESSEL.replace('{ average', '{ daily swing: 3 °C, average'),
    )
    expect(withValue(VESSEL, ['heater', 'to air'], '1 W/°C')).toBe(
      VESSEL.replace('heater:\n', 'heater:\n  to air: 1 W/°C\n'),
    )
    const isFloat = (item: { entries: readonly { value: { text?: string } }[] }) =>
      item.entries.some(({ value }) => value.text === 'Float')
    expect(
      withValue(VESSEL, ['instruments', isFloat as never, 'measures', 'gravity', 'noise'], '1 point'),
    ).toBe(VESSEL.replace('gravity: {}', 'gravity: { noise: 1 point }'))
  })

  test('a quoted value loses its quotation marks, not its meaning', () => {
    expect(withValue('heater: { power: "30 W ± 2 W" }', ['heater', 'power'], '40 W')).toBe(
      'heater: { power: 40 W ± 2 W }',
    )
  })

  test('has no place when what it belongs to is not there, or the text can not be read', () => {
    expect(withValue(VESSEL, ['cooler', 'power'], '60 W')).toBe(null)
    expect(withValue('heater: [', ['heater', 'power'], '60 W')).toBe(null)
  })
})
