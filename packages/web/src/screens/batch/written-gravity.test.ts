import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { expect, test } from 'vitest'
import { writtenGravity } from './written-gravity.ts'

const PLATO = { ...USUAL_UNITS, gravity: 'P' } as const
const read = (typed: string, units = USUAL_UNITS) => {
  const written = writtenGravity(typed, units, { beerFrom_SG: 1.0501 })
  return written?.ok === true ? Number(written.gravity.toFixed(4)) : (written?.ok ?? null)
}

test('specific gravity with and without its point', () => {
  expect(
    ['1.012', '1,012', '1012', '12', '9', '012', '105', '998', '3.1 °P'].map(typed => read(typed)),
  ).toEqual([1.012, 1.012, 1.012, 1.012, 1.009, 1.012, 1.105, 0.998, 1.0121])
})

test('degrees Plato without their unit, specific gravity when it looks like that', () => {
  expect(read('3.1', PLATO)).toBe(1.0121)
  expect(read('12', PLATO)).toBe(1.0484)
  expect(read('1.012', PLATO)).toBe(1.012)
})

test('what a refractometer shows, corrected for the alcohol', () => {
  expect(read('6.4 °Bx')).toBe(1.0118)
  expect(read('6,4 bx', PLATO)).toBe(1.0118)
})

test('nothing, and nonsense', () => {
  expect(read(' ')).toBe(null)
  expect(read('sweet')).toBe(false)
  expect(writtenGravity('18 °C', USUAL_UNITS, 'wort')).toMatchObject({ ok: false })
})
