import { globSync } from 'node:fs'
import { basename } from 'node:path'

const CORE = 'packages/core/src'

/** By folder of what is mutated: the tests that are to judge it. Others would only take time at each mutant. */
const JUDGES: Readonly<Record<string, readonly string[]>> = {
  engine: [`${CORE}/engine/**/*.test.ts`],
  plan: [`${CORE}/plan/{conditions-in-text,print,read-plan,reader-findings}.test.ts`],
  proof: [`${CORE}/proof/single-failure*.test.ts`, `${CORE}/proof/conditions/*.test.ts`],
}

/** Tests of another name that know most about a file. */
const ALSO: Readonly<Record<string, readonly string[]>> = {
  arbitrate: ['whom-to-believe'],
  cascade: ['pid', 'control-table'],
  conditions: ['condition-table'],
  control: ['control-table'],
  interlocks: ['appliances', 'response', 'limits'],
  proportional: ['pid', 'control-table'],
  stages: ['held-batch', 'answers'],
  thermostat: ['thermostat-watch'],
  validate: ['readings', 'history', 'belief'],
}

/**
 * First the tests that are named after what is mutated, last the properties: a mutant that a plain test kills within a
 * millisecond should not have to be told random stories, and the first failure ends its run.
 */
export function judgesOf(mutated: string, root: string): readonly string[] {
  const folder = /core\/src\/([^/]+)\//.exec(mutated)?.[1] ?? ''
  const name = basename(mutated, '.ts')
  const near = [name, ...(ALSO[name] ?? [])]
  const rank = (path: string) =>
    near.some(each => path.endsWith(`/${each}.test.ts`)) ? 0 : path.includes('.property.') ? 2 : 1
  const files = (JUDGES[folder] ?? []).flatMap(pattern => globSync(pattern, { cwd: root }))
  return files.toSorted((a, b) => rank(a) - rank(b) || a.localeCompare(b))
}
