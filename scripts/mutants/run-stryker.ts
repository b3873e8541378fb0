import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Lines } from './changed-lines.ts'
import { type Mutant, mutantsIn, type Report } from './mutant.ts'

interface Wanted {
  readonly file: string
  /** undefined: the whole file. */
  readonly lines: readonly Lines[] | undefined
  readonly concurrency: number
  /** Not from what is known of the last run. */
  readonly afresh: boolean
  readonly within_ms: number | undefined
}

/** What has nothing to do with the tests that judge mutants need not be copied for them. */
const NOT_COPIED = [
  'bench',
  'docs',
  'packages/cli',
  'packages/server',
  'packages/web',
  'test/live',
  'test/screens',
  'out',
]

/**
 * Mutates one file, or some of its lines; null: it took too long. Each file has its own run, so that what has been found
 * out is not lost when a later one is broken off; and its own memory, so that mutants whose tests are as they were are
 * not tried again (Stryker's incremental mode).
 */
export function mutate(root: string, wanted: Wanted): readonly Mutant[] | null {
  const folder = join(root, 'out', 'mutants', wanted.file.replaceAll('/', '_'))
  const report = join(folder, 'report.json')
  const settings = join(folder, 'stryker.json')
  mkdirSync(folder, { recursive: true })
  rmSync(report, { force: true })
  writeFileSync(settings, JSON.stringify(settingsFor(wanted, folder, report), null, 2))
  const program = join(root, 'node_modules', '@stryker-mutator', 'core', 'bin', 'stryker.js')
  const { status, error } = spawnSync(process.execPath, [program, 'run', settings], {
    cwd: root,
    // The tests are chosen by what is mutated, and draw fewer cases than usual.
    env: { ...process.env, MUTATED_FILE: wanted.file, CASES_SHARE: '0.03' },
    // Our own standard output is for the result.
    stdio: ['ignore', 2, 2],
    timeout: wanted.within_ms,
  })
  if (error && 'code' in error && error.code === 'ETIMEDOUT') return null
  if (status !== 0 || !existsSync(report)) throw new Error(`Stryker failed on ${wanted.file}.`)
  return mutantsIn(JSON.parse(readFileSync(report, 'utf8')) as Report)
}

function settingsFor({ file, lines, concurrency, afresh }: Wanted, folder: string, report: string) {
  const isWhole = lines === undefined
  return {
    mutate: isWhole ? [file] : lines.map(({ first, last }) => `${file}:${first}-${last}`),
    testRunner: 'direct',
    plugins: [join(import.meta.dirname, 'runner', 'plugin.ts')],
    // TypeScript 7 has no interface for programs, and Stryker would want one to read a tsconfig: there is none for it.
    tsconfigFile: 'no-such-tsconfig.json',
    coverageAnalysis: 'perTest',
    concurrency,
    reporters: ['json'],
    jsonReporter: { fileName: report },
    incremental: isWhole,
    incrementalFile: join(folder, 'incremental.json'),
    force: afresh,
    tempDirName: join('out', 'mutants', 'sandbox'),
    ignorePatterns: NOT_COPIED,
    allowEmpty: true,
    timeoutMS: 10_000,
  }
}
