/**
 * `npm test`: every check in turn, the quick ones first; the first that fails ends it. The closing line counts each unit
 * test, and each other check as one. out/test-summary.json keeps the counts for .ci/run.
 */
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

const ROOT = join(import.meta.dirname, '..')
const REPORT = join(ROOT, 'out', 'vitest.json')
const SUMMARY = join(ROOT, 'out', 'test-summary.json')

interface Check {
  readonly name: string
  /** Programs of node_modules/.bin, or node. */
  readonly commands: readonly (readonly string[])[]
}

const CHECKS: readonly Check[] = [
  { name: 'house rules', commands: [['node', 'scripts/tidy.ts']] },
  { name: 'format and lint', commands: [['biome', 'check', '--error-on-warnings', '.']] },
  {
    name: 'types',
    commands: [
      ['tsc', '-p', 'packages/core'],
      ['tsc', '-p', '.'],
      ['tsc', '-p', 'test/screens'],
    ],
  },
  {
    name: 'screens',
    commands: [
      ['npm', 'run', '--silent', 'check:screens'],
      ['npm', 'run', '--silent', 'build'],
    ],
  },
  { name: 'reference pages', commands: [['node', 'scripts/docs.ts', '--check']] },
]

interface Counts {
  passed: number
  failed: number
  skipped: number
}

function run(command: readonly string[]): boolean {
  const [program = '', ...options] = command
  const result = spawnSync(program, options, { cwd: ROOT, stdio: 'inherit' })
  if (result.error) console.error(`${command.join(' ')}: ${result.error.message}`)
  return result.status === 0
}

/** Runs the unit tests and adds up what the reporter wrote; a run that broke off counts as one more failure. */
function runUnitTests(counts: Counts): boolean {
  const command = ['vitest', 'run', '--reporter=default', '--reporter=json', `--outputFile.json=${REPORT}`]
  const good = run(command)
  if (existsSync(REPORT)) {
    const report = JSON.parse(readFileSync(REPORT, 'utf8')) as Record<string, number>
    counts.passed += report.numPassedTests ?? 0
    counts.failed += report.numFailedTests ?? 0
    counts.skipped += (report.numPendingTests ?? 0) + (report.numTodoTests ?? 0)
  }
  if (!good && counts.failed === 0) counts.failed++
  sayJudged()
  return good
}

interface Judged {
  readonly title: string
  readonly meta?: { readonly judged?: number }
}

/** How many moments the properties judged; the emptiest of them first, because an empty one proves nothing. */
function sayJudged(): void {
  if (!existsSync(REPORT)) return
  const { testResults } = JSON.parse(readFileSync(REPORT, 'utf8')) as {
    readonly testResults: readonly { readonly assertionResults: readonly Judged[] }[]
  }
  const judged = testResults
    .flatMap(({ assertionResults }) => assertionResults)
    .flatMap(({ title, meta }) => (meta?.judged === undefined ? [] : [{ title, moments: meta.judged }]))
    .sort((a, b) => a.moments - b.moments)
  console.log(`${judged.length} properties judged so many moments:`)
  for (const { title, moments } of judged) console.log(`${String(moments).padStart(8)}  ${title}`)
}

function main(): void {
  rmSync(REPORT, { force: true })
  rmSync(SUMMARY, { force: true })
  mkdirSync(join(ROOT, 'out'), { recursive: true })
  const counts: Counts = { passed: 0, failed: 0, skipped: 0 }
  let good = true
  for (const check of CHECKS) {
    const began_ms = performance.now()
    good = check.commands.every(run)
    const took_s = ((performance.now() - began_ms) / 1000).toFixed(1)
    console.log(`${good ? 'passed' : 'FAILED'}: ${check.name} (${took_s} s)`)
    if (good) counts.passed++
    else counts.failed++
    if (!good) break
  }
  const began_ms = performance.now()
  if (good) good = runUnitTests(counts)
  const unitTests_s = Math.round((performance.now() - began_ms) / 1000)
  writeFileSync(SUMMARY, JSON.stringify({ ...counts, unitTests_s }))
  const skipped = counts.skipped > 0 ? `, ${counts.skipped} skipped` : ''
  console.log(`${counts.passed} passed, ${counts.failed} failed${skipped}`)
  if (!good) process.exitCode = 1
}

main()
