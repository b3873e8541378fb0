import { expect, test } from 'vitest'
import { nameBook } from '../name-book.ts'
import { type Permission, refusePublish } from './permission.ts'

const FLOAT: Permission = { name: 'device Float', kind: 'readings', vessel: 'Garage fridge' }

function mayPublish(topic: string, vessels: readonly string[]): boolean {
  const names = nameBook(() => vessels.map(name => ({ name, text: '', doors: '', changed_ms: 0 })))
  return refusePublish(FLOAT, topic, { isOwn: () => false, meant: name => names.vessel(name) }) === null
}

test('a token speaks for its vessel, by its name or as it stands in a topic', () => {
  for (const name of ['Garage fridge', 'garage-fridge', 'GARAGE FRIDGE']) {
    expect([name, mayPublish(`attemper/${name}/float/gravity`, ['Garage fridge', 'Tank'])]).toEqual([
      name,
      true,
    ])
  }
  expect(mayPublish('attemper/tank/float/gravity', ['Garage fridge', 'Tank'])).toBe(false)
})

// The incident: with “Garage fridge” and “Garage-fridge” in one cellar, the token of one wrote into the records of the other.
test('a token does not speak for a vessel with nearly its name', () => {
  const both = ['Garage fridge', 'Garage-fridge']
  expect(mayPublish('attemper/Garage-fridge/float/gravity', both)).toBe(false)
  expect(mayPublish('attemper/garage-fridge/float/gravity', both)).toBe(false)
  expect(mayPublish('attemper/Garage fridge/float/gravity', both)).toBe(true)
  expect(mayPublish('attemper/Garage-fridge/float/gravity', ['Garage-fridge'])).toBe(false)
})
