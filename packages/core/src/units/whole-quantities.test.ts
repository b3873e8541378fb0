import { expect, it } from 'vitest'
import { wholeQuantities } from './whole-quantities.ts'

it('ties a number to its unit, and to nothing else', () => {
  expect(wholeQuantities('20.1 °C (target 20.0 °C), in 44 % of 200 runs, 1 point on day 2 of 7 days.')).toBe(
    '20.1\u00a0°C (target 20.0\u00a0°C), in 44\u00a0% of 200\u00a0runs, 1\u00a0point on day 2 of 7\u00a0days.',
  )
  expect(wholeQuantities('3 drills, 2 Lagers, 0.2 mg/L')).toBe('3 drills, 2 Lagers, 0.2\u00a0mg/L')
})
