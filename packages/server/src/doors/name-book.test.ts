import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { nameBook } from './name-book.ts'

const text = readFileSync(new URL('../../../../examples/garage-fridge.vessel.yaml', import.meta.url), 'utf8')
const record = (name: string) => ({ name, text, doors: '', changed_ms: 0 })
const find = (vessel: string, instrument: string, quantity: string, names = ['Garage fridge']) =>
  nameBook(() => names.map(record)).find({ vessel, instrument, quantity })

test('names as in the file, or as they stand in an address', () => {
  const stream = { vessel: 'Garage fridge', instrument: 'Air probe', quantity: 'air' }
  expect(find('Garage fridge', 'Air probe', 'air')).toEqual({ found: true, stream })
  expect(find('garage-fridge', 'air-probe', 'air')).toEqual({ found: true, stream })
})

test('what is unknown is named, with what would be right', () => {
  expect(find('garage-frigde', 'probe', 'beer')).toMatchObject({
    code: 'unknown-vessel',
    message: '“garage-frigde” is no vessel. Did you mean garage-fridge?',
  })
  expect(find('garage-fridge', 'thermometer', 'beer')).toMatchObject({
    code: 'unknown-instrument',
    message: '“thermometer” is no instrument of Garage fridge. There are: Probe, Air probe, Float.',
  })
  expect(find('garage-fridge', 'probe', 'gravity')).toMatchObject({ code: 'unknown-quantity' })
})

test('two names with the same slug are told apart only by their full names', () => {
  const names = ['Garage fridge', 'garage fridge']
  expect(find('garage-fridge', 'Probe', 'beer', names)).toMatchObject({ code: 'unknown-vessel' })
  expect(find('garage fridge', 'Probe', 'beer', names)).toMatchObject({ stream: { vessel: 'garage fridge' } })
})

test('what was found before is looked up anew once the vessels have changed', () => {
  let vessels = [record('Garage fridge')]
  const names = nameBook(() => vessels)
  const stream = { vessel: 'garage-fridge', instrument: 'probe', quantity: 'beer' }
  expect(names.find(stream)).toMatchObject({ stream: { instrument: 'Probe' } })
  vessels = [{ ...record('Garage fridge'), text: text.replace('instrument: Probe', 'instrument: PROBE') }]
  expect(names.find(stream)).toMatchObject({ stream: { instrument: 'PROBE' } })
  vessels = []
  expect(names.find(stream)).toMatchObject({ code: 'unknown-vessel' })
})
