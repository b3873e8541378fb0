import { defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** Properties last: a mutant that a plain test kills within a millisecond should not have to be told random stories. */
class PropertiesLast extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const isProperty = ({ moduleId }: TestSpecification) => Number(moduleId.includes('.property.'))
    return files.toSorted((a, b) => isProperty(a) - isProperty(b) || a.moduleId.localeCompare(b.moduleId))
  }
}

/** For mutation testing: only the tests that can judge the engine and the proof, with fewer cases for each property. */
export default defineConfig({
  test: {
    include: [
      'packages/core/src/engine/**/*.test.ts',
      'packages/core/src/proof/**/single-failure*.test.ts',
      'packages/core/src/proof/conditions/*.test.ts',
      'packages/core/src/proof/rules.test.ts',
      'packages/core/src/plan/*.test.ts',
    ],
    exclude: ['packages/core/src/plan/reader-fuzz.test.ts', 'packages/core/src/plan/edit-plan.test.ts'],
    setupFiles: ['test/one-seed.ts', 'scripts/mutants/stop-at-first.ts'],
    env: { CASES_SHARE: '0.1' },
    sequence: { sequencer: PropertiesLast },
    testTimeout: 60_000,
    isolate: false,
  },
})
