import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { parseQuantity, parseUncertain } from './parse.ts'
import { bareName, KINDS, type QuantityKind } from './quantity.ts'

/** Values of the right-hand side: definitions of the units (SI Brochure; international yard and pound 1959, US gallon). */
const GOOD: readonly [string, QuantityKind, number][] = [
  ['18 °C', 'temperature', 18],
  ['18°C', 'temperature', 18],
  ['18C', 'temperature', 18],
  ['18 º C', 'temperature', 18],
  ['18 ℃', 'temperature', 18],
  ['18 deg C', 'temperature', 18],
  ['18 degrees Celsius', 'temperature', 18],
  ['18 degC', 'temperature', 18],
  ['+18 °C', 'temperature', 18],
  ['.5 °C', 'temperature', 0.5],
  ['-1 °C', 'temperature', -1],
  ['−1 °C', 'temperature', -1],
  ['– 1 °C', 'temperature', -1],
  ['  64.4 °F ', 'temperature', 18],
  ['-4 °F', 'temperature', -20],
  ['248 °F', 'temperature', 120],
  ['32 fahrenheit', 'temperature', 0],
  ['0.3 °C', 'temperature difference', 0.3],
  ['0.3 K', 'temperature difference', 0.3],
  ['0.9 °F', 'temperature difference', 0.5],
  ['0', 'temperature difference', 0],
  ['1 °C/h', 'temperature rate', 1 / 3600],
  ['1 °C per hour', 'temperature rate', 1 / 3600],
  ['2 °F/d', 'temperature rate', 10 / 9 / 86400],
  ['1 K/min', 'temperature rate', 1 / 60],
  ['1.012', 'gravity', 1.012],
  ['1.012 SG', 'gravity', 1.012],
  ['1.050', 'gravity', 1.05],
  ['10 points', 'gravity difference', 0.01],
  ['1 point', 'gravity difference', 0.001],
  ['10 pts', 'gravity difference', 0.01],
  ['0.010', 'gravity difference', 0.01],
  ['0.010 SG', 'gravity difference', 0.01],
  ['1 point/d', 'gravity rate', 0.001 / 86400],
  ['2 points per day', 'gravity rate', 0.002 / 86400],
  ['3 d', 'duration', 259200],
  ['48 h', 'duration', 172800],
  ['90 min', 'duration', 5400],
  ['30 s', 'duration', 30],
  ['1 d 12 h', 'duration', 129600],
  ['1d12h', 'duration', 129600],
  ['1.5 days', 'duration', 129600],
  ['2 weeks', 'duration', 1209600],
  ['0', 'duration', 0],
  ['75 %', 'share', 0.75],
  ['75%', 'share', 0.75],
  ['70 %', 'share', 0.7],
  ['30 W', 'power', 30],
  ['3 kW', 'power', 3000],
  ['4 W/°C', 'conductance', 4],
  ['4 W/K', 'conductance', 4],
  ['9 W/°F', 'conductance', 16.2],
  ['3 kJ/°C', 'heat capacity', 3000],
  ['500 J/K', 'heat capacity', 500],
  ['20 L', 'volume', 20],
  ['20 litres', 'volume', 20],
  ['5 gal', 'volume', 18.92705892],
  ['0.3 hL', 'volume', 30],
  ['0.8 bar', 'pressure', 80000],
  ['80 kPa', 'pressure', 80000],
  ['800 mbar', 'pressure', 80000],
  ['12 psi', 'pressure', 82737.087518016],
  ['20 %/°C', 'gain', 0.2],
  ['4.6', 'number', 4.6],
  ['1e-3', 'number', 0.001],
]

/** Text, kind, code, the part of the text that is marked, and a part of the cure. */
const BAD: readonly [string, QuantityKind, string, string, string][] = [
  ['18', 'temperature', 'missing-unit', '18', '18 °C or 18 °F'],
  ['0', 'temperature', 'missing-unit', '0', '0 °C'],
  ['18,5 °C', 'temperature', 'decimal-comma', '18,5', '18.5'],
  ['18 h', 'temperature', 'wrong-unit', 'h', '18 °C'],
  ['291 K', 'temperature', 'wrong-unit', 'K', '18 °C'],
  ['18 °D', 'temperature', 'misspelt-unit', '°D', '°C'],
  ['18 °C warm', 'temperature', 'wrong-unit', '°C warm', '18 °C'],
  ['-300 °C', 'temperature', 'out-of-range', '-300 °C', '18 °C'],
  ['warm', 'temperature', 'not-a-number', 'warm', '18 °C'],
  ['.nan', 'temperature', 'not-a-number', '.nan', '18 °C'],
  ['.inf', 'temperature', 'not-a-number', '.inf', '18 °C'],
  ['1e999 °C', 'temperature', 'not-a-number', '1e999', '18 °C'],
  ['', 'temperature', 'missing-value', '', '18 °C'],
  ['10 pionts', 'gravity difference', 'misspelt-unit', 'pionts', 'points'],
  ['  10  pionts', 'gravity difference', 'misspelt-unit', 'pionts', 'points'],
  ['10', 'gravity difference', 'missing-unit', '10', '10 points'],
  ['1012', 'gravity', 'out-of-range', '1012', '1.012'],
  ['12', 'gravity', 'out-of-range', '12', '1.012'],
  ['1,012', 'gravity', 'decimal-comma', '1,012', '1.012'],
  ['10 points', 'gravity', 'wrong-unit', 'points', '1.012'],
  ['48 huors', 'duration', 'misspelt-unit', 'huors', 'hours'],
  ['3', 'duration', 'missing-unit', '3', '3 d'],
  ['1 d 12', 'duration', 'missing-unit', '12', '12 h'],
  ['1,5 d', 'duration', 'decimal-comma', '1,5', '1.5'],
  ['12 h 1 d', 'duration', 'bad-duration', 'd', '1 d 12 h'],
  ['1 d 1 d', 'duration', 'bad-duration', 'd', '1 d 12 h'],
  ['90 m', 'duration', 'misspelt-unit', 'm', 'min'],
  ['-3 d', 'duration', 'negative', '-3 d', '3 d'],
  ['2 months', 'duration', 'calendar-duration', 'months', '30 d'],
  ['1 year', 'duration', 'calendar-duration', 'year', '365 d'],
  ['3 °C', 'duration', 'wrong-unit', '°C', '3 d'],
  ['3 d later', 'duration', 'not-a-number', 'later', '3 d'],
  ['1000000 d', 'duration', 'out-of-range', '1000000 d', '3 d'],
  ['0.75', 'share', 'missing-unit', '0.75', '%'],
  ['30', 'power', 'missing-unit', '30', '30 W'],
  ['4 W', 'conductance', 'wrong-unit', 'W', 'W/°C'],
  ['4 W/°X', 'conductance', 'misspelt-unit', 'W/°X', 'W/°C'],
  ['20 liters', 'power', 'wrong-unit', 'liters', '30 W'],
  ['4.6 °C', 'number', 'wrong-unit', '°C', '4.6'],
]

describe('parseQuantity', () => {
  test.each(GOOD)('reads “%s” as %s', (text, kind, value) => {
    const result = parseQuantity(text, kind)
    expect(result).toMatchObject({ ok: true })
    if (result.ok) expect(result.value).toBeCloseTo(value, 12)
  })

  test.each(BAD)('refuses “%s” as %s: %s', (text, kind, code, marked, cure) => {
    const result = parseQuantity(text, kind)
    expect(result.ok).toBe(false)
    if (result.ok) return
    expect(result.problem.code).toBe(code)
    expect(text.slice(result.problem.offset, result.problem.offset + result.problem.length)).toBe(marked)
    expect(result.problem.cure).toContain(cure)
    expect(result.problem.message).not.toContain('undefined')
  })

  // By the definition of the Fahrenheit scale; stated so in the issue as a check.
  test('-20…120 °C is -4…248 °F', () => {
    for (const [celsius, fahrenheit] of [
      [-20, -4],
      [0, 32],
      [37, 98.6],
      [100, 212],
      [120, 248],
    ]) {
      const written = parseQuantity(`${fahrenheit} °F`, 'temperature')
      expect(written.ok && written.value).toBeCloseTo(celsius!, 12)
    }
  })

  test('a temperature and a difference of the same number are different in °F', () => {
    expect(parseQuantity('18 °F', 'temperature')).not.toEqual(
      parseQuantity('18 °F', 'temperature difference'),
    )
  })

  // National Bureau of Standards Circular 440 (Bates 1942), specific gravity 20/20 °C of sucrose solutions.
  test.each([
    ['3 °P', 1.01173],
    ['5 °P', 1.01968],
    ['10 Plato', 1.04003],
    ['12 °P', 1.04837],
    ['18 p', 1.07413],
  ])('%s has the specific gravity of the sucrose table', (text, gravity) => {
    const result = parseQuantity(text, 'gravity')
    expect(result.ok && Math.abs(result.value - gravity) < 3e-5).toBe(true)
  })

  test('a difference in °P is counted from water', () => {
    // Same table: 1 °P is 1.00390.
    const result = parseQuantity('1 °P', 'gravity difference')
    expect(result.ok && Math.abs(result.value - 0.0039) < 3e-5).toBe(true)
  })

  test('every example of a kind can be read as that kind', () => {
    for (const kind of Object.values(KINDS)) {
      for (const example of kind.examples)
        expect(parseQuantity(example, kind.kind)).toMatchObject({ ok: true })
      expect(bareName(kind)).not.toMatch(/^an? /)
    }
  })

  test('any text gives a finite value, or a problem inside the text', ({ task }) => {
    const kinds = Object.keys(KINDS) as QuantityKind[]
    const pieces = fc.array(
      fc.oneof(
        fc.string({ maxLength: 4 }),
        fc.constantFrom('18', '-', '°', 'C', ' ', '.', ',', '±', '%', 'P', 'T', 'd', '/', '1e9', 'e', '0'),
      ),
      { maxLength: 8 },
    )
    judge(
      task,
      { cases: 5000, examples: [[['0', '±'], 'duration']] },
      [pieces, fc.constantFrom(...kinds)],
      (parts, kind) => {
        const text = parts.join('')
        for (const result of [parseQuantity(text, kind), parseUncertain(text, kind)]) {
          if (result.ok) {
            const value =
              typeof result.value === 'number' ? result.value : result.value.value + result.value.sd
            expect(Number.isFinite(value)).toBe(true)
          } else {
            const { offset, length, message, cure } = result.problem
            expect(offset).toBeGreaterThanOrEqual(0)
            expect(length).toBeGreaterThanOrEqual(1)
            expect(offset + length).toBeLessThanOrEqual(Math.max(1, text.length))
            expect(message.length).toBeGreaterThan(5)
            expect(cure.length).toBeGreaterThan(5)
          }
        }
      },
    )
  })
})

describe('parseUncertain', () => {
  test.each<[string, QuantityKind, number, number]>([
    ['30 W ± 5 %', 'power', 30, 1.5],
    ['30 W +- 5 %', 'power', 30, 1.5],
    ['30 W +/- 5%', 'power', 30, 1.5],
    ['30 W ± 2 W', 'power', 30, 2],
    ['30 W', 'power', 30, 0],
    ['1.012 ± 2 points', 'gravity', 1.012, 0.002],
    ['1.012 ± 0.002', 'gravity', 1.012, 0.002],
    ['14 °C ± 3 °C', 'temperature', 14, 3],
    ['14 ± 3 °C', 'temperature', 14, 3],
    ['50 °F ± 9 °F', 'temperature', 10, 5],
    ['-18 °C ± 2 °C', 'temperature', -18, 2],
    ['0 °C ± 0.2 °C', 'temperature difference', 0, 0.2],
    ['0 points ± 1.5 points', 'gravity difference', 0, 0.0015],
    ['-0.2 °C ± 10 %', 'temperature difference', -0.2, 0.02],
    ['1 ± 15 %', 'number', 1, 0.15],
  ])('reads “%s”', (text, kind, value, sd) => {
    const result = parseUncertain(text, kind)
    expect(result).toMatchObject({ ok: true })
    if (!result.ok) return
    expect(result.value.value).toBeCloseTo(value, 12)
    expect(result.value.sd).toBeCloseTo(sd, 12)
  })

  test.each<[string, QuantityKind, string, string]>([
    ['30 W ± 5 %%', 'power', 'wrong-unit', '%%'],
    ['30 W ± 5', 'power', 'missing-unit', '5'],
    ['30 W ± ', 'power', 'missing-value', '±'],
    ['30 W ± -5 W', 'power', 'negative', ' -5 W'],
    ['14 °C ± 10 %', 'temperature', 'wrong-unit', '10 %'],
    ['14 °C ± 3 h', 'temperature', 'wrong-unit', 'h'],
    ['14 ± 3', 'temperature', 'missing-unit', '14'],
    ['± 3 °C', 'temperature', 'missing-value', ''],
    ['1.012 ± 2 pionts', 'gravity', 'misspelt-unit', 'pionts'],
  ])('refuses “%s”', (text, kind, code, marked) => {
    const result = parseUncertain(text, kind)
    expect(result.ok).toBe(false)
    if (result.ok) return
    expect(result.problem.code).toBe(code)
    if (marked !== '') {
      expect(text.slice(result.problem.offset, result.problem.offset + result.problem.length)).toBe(marked)
    }
  })
})
