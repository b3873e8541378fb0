import { globSync } from 'node:fs'

/** What is mutated. Paths from the root of the project. */
interface Target {
  readonly folder: string
  readonly files: readonly string[]
  /** Fewer killed mutants than this share of all that can be killed is a fault. */
  readonly least: number
}

const CORE = 'packages/core/src'

/** Types alone have nothing to mutate, and a vessel's small house belongs to the tests. */
const WITHOUT_CODE = ['contract.ts', 'events.ts', 'program.ts']

const engine = (root: string): readonly string[] =>
  globSync(`${CORE}/engine/**/*.ts`, { cwd: root })
    .filter(path => !/\.test\.ts$|\/testing\//.test(path))
    .filter(path => !WITHOUT_CODE.some(name => path.endsWith(`/${name}`)))
    .toSorted()

export function targetsBelow(root: string): readonly Target[] {
  return [
    { folder: `${CORE}/engine`, files: engine(root), least: 0.9 },
    {
      folder: `${CORE}/plan`,
      files: ['comparison-shape', 'condition-shape', 'quantities-of'].map(name => `${CORE}/plan/${name}.ts`),
      least: 0,
    },
    {
      folder: `${CORE}/proof`,
      files: ['conditions/certainty', 'conditions/walk', 'single-failure'].map(
        name => `${CORE}/proof/${name}.ts`,
      ),
      least: 0,
    },
  ]
}
