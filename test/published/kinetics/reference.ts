import { readFileSync } from 'node:fs'

/** One value to reproduce, as kinetics.json gives it. */
export interface Check {
  readonly conditions: string
  readonly quantity: string
  readonly value: number
  readonly tolerance: { readonly relative?: number; readonly absolute?: number }
}

interface Model {
  readonly id: string
  readonly checks: readonly Check[]
}

const models: readonly Model[] = JSON.parse(
  readFileSync(new URL('../data/kinetics.json', import.meta.url), 'utf8'),
).models

export function checksOf(id: string): readonly Check[] {
  const model = models.find(candidate => candidate.id === id)
  if (!model) throw new Error(`kinetics.json has no model ${id}`)
  return model.checks
}

/** How far a result may be from the value of a check. */
export function allowance(check: Check): number {
  return check.tolerance.absolute ?? (check.tolerance.relative ?? 0) * Math.abs(check.value)
}

/** Time in `t = 24 h` at the end of the conditions. */
export function timeOf(check: Check): number {
  const match = / t = ([\d.]+) h$/.exec(check.conditions)
  if (!match) throw new Error(`no time in "${check.conditions}"`)
  return Number(match[1])
}

/** Temperature in `isothermal 12 C`. */
export function isothermOf(check: Check): number {
  const match = /isothermal ([\d.]+) C/.exec(check.conditions)
  if (!match) throw new Error(`no temperature in "${check.conditions}"`)
  return Number(match[1])
}
