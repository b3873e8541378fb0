import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { readBeer } from '../beer/read-beer.ts'
import type { Plan, Stage } from '../plan/plan.ts'
import { readPlan } from '../plan/read-plan.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import { type ProofInput, proofRead } from './proof-read.ts'
import { RULES } from './rules.ts'
import { BEER, change, findingsOf, PLAN, VESSEL } from './testing/cases.ts'

test('a plan, a vessel and a beer with which nothing is wrong', () => {
  expect(findingsOf({})).toEqual([])
  expect(findingsOf({ vessel: null })).toEqual([])
})

test('findings are sorted by file, line and column, and name the place', () => {
  const findings = findingsOf({
    plan: change(
      PLAN,
      ['ramp: { to: 4 °C, at: 5 °C/d }', 'ramp: { to: -4 °C, at: 5 °C/d }'],
      ['hold: 18 °C', 'hold: 26 °C'],
    ),
    vessel: change(VESSEL, ['timeout: 2 h', 'timeout: 130 s']),
    beer: change(BEER, ['1.012 ± 1 point', '1.020 ± 1 point']),
  })
  const order = findings.map(({ file, line, column }) => [file, line, column] as const)
  expect(order).toEqual(
    order.toSorted((a, b) => (a[0] < b[0] ? -1 : a[0] > b[0] ? 1 : a[1] - b[1] || a[2] - b[2])),
  )
  expect(new Set(findings.map(({ file }) => file))).toEqual(
    new Set(['plan.yaml', 'vessel.yaml', 'beer.yaml']),
  )
  for (const { message, cure } of findings) {
    expect(message).toMatch(/\.$/)
    expect(cure).toMatch(/\.$/)
    expect(message + cure).not.toMatch(/NaN|Infinity|undefined|null/)
  }
})

test('numbers are said in the units of the reader', () => {
  const { plan } = readPlan(change(PLAN, ['hold: 18 °C', 'hold: 26 °C']), 'plan')
  const [finding] = proofRead({
    plan: plan!,
    planFile: 'plan',
    units: { temperature: 'F', gravity: 'SG', volume: 'L' },
  }).filter(({ code }) => code === 'target-outside-limits')
  // 26 °C and 24 °C, by definition of the Fahrenheit scale.
  expect(finding?.message).toContain('78.8 °F')
  expect(finding?.message).toContain('75.2 °F')
})

test('the catalogue has one code per rule, and sentences for the documentation', () => {
  const codes = RULES.map(({ code }) => code)
  expect(new Set(codes).size).toBe(codes.length)
  for (const { title, why } of RULES) {
    expect(title).toMatch(/\.$/)
    expect(why).toMatch(/\.$/)
  }
  const files = readdirSync(new URL('rules/', import.meta.url)).filter(
    file => file.endsWith('.ts') && !file.endsWith('.test.ts'),
  )
  expect(codes.toSorted()).toEqual(files.map(file => file.replace('.ts', '')).toSorted())
})

describe('the examples', () => {
  const folder = new URL('../../../../examples/', import.meta.url)
  const texts = (end: string) =>
    readdirSync(folder)
      .filter(file => file.endsWith(end))
      .map(file => [file, readFileSync(new URL(file, folder), 'utf8')] as const)
  const plans = texts('.plan.yaml').map(([file, text]) => [file, readPlan(text, file).plan!] as const)
  const vessels = texts('.vessel.yaml').map(([file, text]) => [file, readVessel(text, file).vessel!] as const)
  const beers = texts('.beer.yaml').map(([file, text]) => [file, readBeer(text, file).beer!] as const)

  test.each(plans)('%s has no error alone, and none with some vessel and beer', (planFile, plan) => {
    const errors = (more: Partial<ProofInput>) =>
      proofRead({ plan, planFile, ...more }).filter(({ severity }) => severity === 'error')
    expect(errors({})).toEqual([])
    const together = vessels.flatMap(([vesselFile, vessel]) =>
      beers.map(([beerFile, beer]) => errors({ vessel, vesselFile, beer, beerFile }).length),
    )
    expect(together).toContain(0)
  })

  test('whatever is put together, each finding is a whole sentence with its numbers', () => {
    for (const [planFile, plan] of plans)
      for (const [vesselFile, vessel] of [...vessels, ['none', undefined] as const])
        for (const [beerFile, beer] of [...beers, ['none', undefined] as const])
          for (const { message, cure, line, column, length } of proofRead({
            plan,
            planFile,
            vessel,
            vesselFile,
            beer,
            beerFile,
          })) {
            expect(message + cure).not.toMatch(/NaN|Infinity|undefined|null|\[object/)
            expect(Math.min(line, column, length)).toBeGreaterThanOrEqual(1)
          }
  })
})

test('a plan of 500 stages with loops and alternatives is read in time', () => {
  const { plan } = readPlan(PLAN, 'plan')
  const { vessel } = readVessel(VESSEL, 'vessel')
  const { beer } = readBeer(BEER, 'beer')
  const place = plan!.place
  const stages = Array.from({ length: 500 }, (_, number): Stage => {
    const like = plan!.stages[number % 2]!
    const to = (name: number) => ({ kind: 'stage', name: `S${name}`, place }) as const
    return {
      ...like,
      name: `S${number}`,
      branches: [1, 2, 3, 7, 250].map(step => ({
        when: {
          kind: 'any',
          lasting_s: 0,
          place,
          of: Array.from({ length: 10 }, (_, part) => ({
            kind: 'all' as const,
            lasting_s: 0,
            place,
            of: [
              like.until!,
              { kind: 'elapsed', since: 'stage', atLeast_s: part, lasting_s: 0, place },
            ] as const,
          })),
        },
        destination: to((number + step) % 500),
        askFirst: false,
        place,
      })),
    }
  })
  const big: Plan = { ...plan!, stages }
  // A walk over paths instead of stages would take for ever; the limit of the test runner is the bound.
  const findings = proofRead({ plan: big, planFile: 'plan', vessel: vessel!, beer: beer! })
  expect(findings.some(({ code }) => code === 'cycle-without-time')).toBe(true)
})
