import { join } from 'node:path'
import { INSTRUMENTER_CONSTANTS, type MutantCoverage } from '@stryker-mutator/api/core'
import { declareClassPlugin, PluginKind } from '@stryker-mutator/api/plugin'
import {
  type CompleteDryRunResult,
  type DryRunResult,
  DryRunStatus,
  determineHitLimitReached,
  type MutantRunOptions,
  type MutantRunResult,
  type TestResult,
  type TestRunner,
  TestStatus,
  toMutantRunResult,
} from '@stryker-mutator/api/test-runner'
import type { Collected } from './collect.ts'
import { collect, collectInsteadOfVitest } from './hooks.ts'
import { judgesOf } from './judges.ts'

/** What the instrumented code looks at, by Stryker's names. */
interface Namespace {
  activeMutant?: string | undefined
  currentTestId?: string | undefined
  hitCount?: number | undefined
  hitLimit?: number | undefined
  mutantCoverage?: MutantCoverage
}

const shared = globalThis as unknown as Record<string, Namespace>
shared[INSTRUMENTER_CONSTANTS.NAMESPACE] ??= {}
const namespace = shared[INSTRUMENTER_CONSTANTS.NAMESPACE]!

/**
 * Stryker takes a loop for endless when a mutant is passed a hundred times as often as its line was without it. Ten times is
 * enough here, and a minute less for each.
 */
const SHARE_OF_HITS = 0.1

/**
 * Runs the tests for Stryker, all in one process. Its runner for Vitest starts a worker and loads every file of tests anew
 * for each mutant, which takes a second; the tests themselves take a few milliseconds.
 */
class DirectRunner implements TestRunner {
  private tests: readonly Collected[] | undefined

  capabilities() {
    return { reloadEnvironment: false }
  }

  async init(): Promise<void> {
    collectInsteadOfVitest()
    await Promise.resolve()
  }

  private async load(): Promise<readonly Collected[]> {
    if (this.tests) return this.tests
    const root = process.cwd()
    const files = judgesOf(process.env.MUTATED_FILE ?? '', root).map(path => join(root, path))
    this.tests = await collect(files)
    return this.tests
  }

  async dryRun(): Promise<DryRunResult> {
    try {
      const result = await this.run(await this.load(), true)
      const { mutantCoverage } = namespace
      return mutantCoverage ? { ...result, mutantCoverage } : result
    } catch (error) {
      return { status: DryRunStatus.Error, errorMessage: String(error) }
    }
  }

  async mutantRun({
    testFilter,
    activeMutant,
    hitLimit: generous,
    mutantActivation,
  }: MutantRunOptions): Promise<MutantRunResult> {
    const hitLimit = generous === undefined ? undefined : Math.ceil(generous * SHARE_OF_HITS)
    namespace.hitCount = 0
    namespace.hitLimit = hitLimit
    try {
      if (mutantActivation === 'static') namespace.activeMutant = activeMutant.id
      const tests = await this.load()
      namespace.activeMutant = activeMutant.id
      const chosen = testFilter ? tests.filter(({ id }) => testFilter.includes(id)) : tests
      const result = await this.run(chosen, false)
      return toMutantRunResult(determineHitLimitReached(namespace.hitCount, hitLimit) ?? result)
    } catch (error) {
      // It cannot even be loaded.
      return toMutantRunResult({ status: DryRunStatus.Error, errorMessage: String(error) })
    } finally {
      namespace.activeMutant = undefined
    }
  }

  private async run(tests: readonly Collected[], goesOn: boolean): Promise<CompleteDryRunResult> {
    const results: TestResult[] = []
    for (const { id, name, file, line, run } of tests) {
      const base = { id, name, fileName: file, startPosition: { line: line - 1, column: 0 } }
      const began_ms = performance.now()
      namespace.currentTestId = id
      try {
        await run()
        results.push({ ...base, timeSpentMs: performance.now() - began_ms, status: TestStatus.Success })
      } catch (error) {
        const failureMessage = error instanceof Error ? error.message.slice(0, 2000) : String(error)
        const timeSpentMs = performance.now() - began_ms
        results.push({ ...base, timeSpentMs, status: TestStatus.Failed, failureMessage })
        if (!goesOn) break
      } finally {
        namespace.currentTestId = undefined
      }
    }
    return { status: DryRunStatus.Complete, tests: results }
  }
}

export const strykerPlugins = [declareClassPlugin(PluginKind.TestRunner, 'direct', DirectRunner)]
