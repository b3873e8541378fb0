import { defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'

/**
 * First the tests that are named after what is mutated, last the properties: a mutant that a plain test kills within a
 * millisecond should not have to be told random stories, and the first failure ends its run.
 */
class NearestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    return files.toSorted((a, b) => rank(a) - rank(b) || a.moduleId.localeCompare(b.moduleId))
  }
}

/** Tests of another name that know most about a file. */
const ALSO: Readonly<Record<string, readonly string[]>> = {
  conditions: ['condition-table'],
  interlocks: ['response', 'limits'],
  stages: ['held-batch'],
  validate: ['readings', 'history'],
}

function rank({ moduleId }: TestSpecification): number {
  const mutated = process.env.MUTATED_FILE ?? ''
  const isNear = [mutated, ...(ALSO[mutated] ?? [])].some(name => moduleId.endsWith(`/${name}.test.ts`))
  return isNear ? 0 : moduleId.includes('.property.') ? 2 : 1
}

/** By folder of what is mutated: the tests that are to judge it. Others would only take time at each mutant. */
const JUDGES: Readonly<Record<string, readonly string[]>> = {
  engine: ['packages/core/src/engine/**/*.test.ts'],
  plan: ['packages/core/src/plan/{print,read-plan,reader-findings,schema}.test.ts'],
  proof: [
    'packages/core/src/proof/single-failure*.test.ts',
    'packages/core/src/proof/conditions/*.test.ts',
    'packages/core/src/proof/rules.test.ts',
  ],
}

/** For mutation testing (`npm run mutants`), with fewer cases for each property. */
export default defineConfig({
  test: {
    include: [...(JUDGES[process.env.MUTATED_FOLDER ?? ''] ?? Object.values(JUDGES).flat())],
    setupFiles: ['test/one-seed.ts', 'scripts/mutants/stop-at-first.ts'],
    env: { CASES_SHARE: '0.04' },
    sequence: { sequencer: NearestFirst },
    testTimeout: 60_000,
    isolate: false,
  },
})
