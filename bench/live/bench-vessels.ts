import { readFileSync } from 'node:fs'

/** The refrigerator of the bench, whose probe reports at every second, under other names. */
const TEXT = readFileSync(new URL('../fourteen-days.vessel.yaml', import.meta.url), 'utf8')

export const PLAN = readFileSync(new URL('../fourteen-days.plan.yaml', import.meta.url), 'utf8')
export const BEER = readFileSync(new URL('../fourteen-days.beer.yaml', import.meta.url), 'utf8')

export interface BenchVessel {
  readonly name: string
  readonly slug: string
  readonly text: string
}

export function benchVessels(count: number): readonly BenchVessel[] {
  return Array.from({ length: count }, (_, n) => {
    const name = `Bench fridge ${n + 1}`
    return { name, slug: `bench-fridge-${n + 1}`, text: TEXT.replace('Bench fridge', name) }
  })
}

/**
 * What a probe of 0.01 °C reads the `n`th time, a second apart: the saw-tooth of a refrigerator around 18 °C over twenty
 * minutes, with noise of about 0.02 °C.
 */
export function beer_C(n: number): number {
  const phase = (n % 1200) / 1200
  const tooth_K = phase < 0.7 ? 0.4 * (phase / 0.7 - 0.5) : 0.4 * (0.5 - (phase - 0.7) / 0.3)
  return Math.round((18 + tooth_K + noise_K(n)) * 100) / 100
}

/** The mean of four evenly spread numbers is nearly normal. */
function noise_K(n: number): number {
  let hash = Math.imul(n + 1, 0x9e3779b1)
  hash = Math.imul(hash ^ (hash >>> 15), 0x85ebca6b)
  hash ^= hash >>> 13
  const sum = (hash & 0xff) + ((hash >>> 8) & 0xff) + ((hash >>> 16) & 0xff) + (hash >>> 24)
  return (sum / (4 * 255) - 0.5) * 0.14
}
