import { expect, test } from 'vitest'
import { cellarDecode } from './cellar-decode.ts'
import { testVessel } from './testing/heard.ts'

const doors = 'mappings: { mine: { instrument: float, readings: [{ at: /g, quantity: gravity }] } }'
const decode = cellarDecode(() => [testVessel(doors)])
const bytes = (value: unknown) => new TextEncoder().encode(JSON.stringify(value))

test('names become those of the file, and mappings are found by their names', () => {
  const context = { vessel: 'garage-fridge', mapping: 'mine', now_ms: 5 }
  expect(decode('application/json', bytes({ g: 1.012 }), context).reports).toEqual([
    {
      vessel: 'Garage fridge',
      instrument: 'Float',
      quantity: 'gravity',
      value: 1.012,
      at_ms: 5,
      status: 'good',
    },
  ])
  expect(decode('application/json', bytes({}), { ...context, mapping: 'yours' }).refused[0]?.message).toBe(
    'There is no mapping “yours”. There are: mine.',
  )
})

test('without a vessel in the address the pack names it', () => {
  const pack = [{ n: 'garage-fridge/air-probe/air', u: 'Cel', v: 4 }]
  expect(decode('application/senml+json', bytes(pack), { now_ms: 5 }).reports).toMatchObject([
    { vessel: 'Garage fridge', instrument: 'Air probe' },
  ])
})
