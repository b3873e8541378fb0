/**
 * `npm run mutants`: are the guards of the engine proven? Small changes are made to the code, one at a time, and the tests
 * must notice each. The last lines say by folder how many were killed, how many survived, and how many are known to change
 * nothing. It fails when too few were killed.
 *
 *   npm run mutants                         everything; what is unchanged since the last run is not tried again
 *   npm run mutants -- interlocks limits    only files with these words in their path
 *   npm run mutants -- --changed [COMMIT]   only lines changed since the commit, and every survivor is a fault
 *                                           left out: where the branch left the main one; on that, the commit before
 *   --json        the result as an object on standard output, and nothing else there
 *   --afresh      forget what is known of the last run: it does not see changes of helpers, nor of other parts of the engine
 *   --workers N   1 when left out
 *   --within S    begins no further file after so many seconds, and breaks off the one at hand
 */
import { availableParallelism } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { changedLines, type Lines, usualBase } from './mutants/changed-lines.ts'
import { faultsOfList } from './mutants/equivalent.ts'
import { EQUIVALENT_MUTANTS } from './mutants/equivalent-mutants.ts'
import type { Mutant } from './mutants/mutant.ts'
import { mutate } from './mutants/run-stryker.ts'
import { printTallies, survivors, tally } from './mutants/tally.ts'
import { targetsBelow } from './mutants/targets.ts'

const ROOT = join(import.meta.dirname, '..')
/** On the main branch a change is what its last commit brought; a push of several names the one before it. */
const COMMITS_BACK = 1

const { values: options, positionals: words } = parseArgs({
  options: {
    json: { type: 'boolean', default: false },
    changed: { type: 'boolean', default: false },
    afresh: { type: 'boolean', default: false },
    workers: { type: 'string', default: '1' },
    within: { type: 'string' },
  },
  allowPositionals: true,
})

const say = (text: string) => console.error(text)

/** undefined: the whole of each file. */
function linesToMutate(files: readonly string[]): ReadonlyMap<string, readonly Lines[]> | undefined {
  if (!options.changed) return undefined
  const base = words[0] ?? usualBase(ROOT, COMMITS_BACK)
  if (base === null)
    throw new Error('There is no history to compare with: this needs a clone with all of it.')
  say(`Compared with ${base}.`)
  return changedLines(ROOT, base, files)
}

function main(): void {
  const targets = targetsBelow(ROOT)
  const all = targets.flatMap(({ files }) => files)
  const lines = linesToMutate(all)
  const files = lines
    ? all.filter(file => lines.has(file))
    : all.filter(file => words.length === 0 || words.some(word => file.includes(word)))
  if (lines && files.length === 0) say('No changed lines in what is mutated: nothing to do.')

  const end_ms =
    options.within === undefined
      ? Number.POSITIVE_INFINITY
      : performance.now() + 1000 * Number(options.within)
  const mutants: Mutant[] = []
  const leftOut: string[] = []
  for (const file of files) {
    const left_ms = end_ms - performance.now()
    const found =
      left_ms <= 0
        ? null
        : mutate(ROOT, {
            file,
            lines: lines?.get(file),
            concurrency: Math.min(Number(options.workers), availableParallelism()),
            afresh: options.afresh,
            within_ms: left_ms < Number.POSITIVE_INFINITY ? Math.ceil(left_ms) : undefined,
          })
    if (found === null) leftOut.push(file)
    else mutants.push(...found)
  }
  report(targets, files, mutants, leftOut)
}

function report(
  targets: ReturnType<typeof targetsBelow>,
  files: readonly string[],
  mutants: readonly Mutant[],
  leftOut: readonly string[],
): void {
  const looked = files.filter(file => !leftOut.includes(file))
  const tallies = targets
    .filter(target => target.files.some(file => looked.includes(file)))
    .map(({ folder }) =>
      tally(
        folder,
        mutants.filter(({ file }) => file.startsWith(`${folder}/`)),
        EQUIVALENT_MUTANTS,
      ),
    )
  const total = tally('total', mutants, EQUIVALENT_MUTANTS)
  const left = survivors(mutants, EQUIVALENT_MUTANTS)
  const faults = [...faultsOfList(EQUIVALENT_MUTANTS, mutants, options.changed ? [] : looked)]
  if (options.changed && left.length > 0)
    faults.push(
      'A mutant survives in changed lines: write the test that kills it, or list it in scripts/mutants/equivalent-mutants.ts with the reason why it changes nothing.',
    )
  for (const { folder, share } of options.changed ? [] : tallies) {
    const least = targets.find(target => target.folder === folder)!.least
    const isWhole = targets
      .find(target => target.folder === folder)!
      .files.every(file => looked.includes(file))
    if (isWhole && share < least)
      faults.push(
        `Of the mutants in ${folder} ${(100 * share).toFixed(1)} % are killed; ${100 * least} % are the least.`,
      )
  }
  for (const { file, line, mutation, fate } of left) say(`${fate}: ${file}:${line}: ${mutation}`)
  for (const file of leftOut) say(`No time was left for ${file}.`)
  for (const fault of faults) say(fault)
  if (faults.length > 0) process.exitCode = 1
  const json = JSON.stringify({ folders: tallies, total, survivors: left, leftOut, faults }, null, 2)
  console.log(options.json ? json : printTallies([...tallies, total]))
}

main()
