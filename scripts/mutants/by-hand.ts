/**
 * `npm run mutants:by-hand`: makes each fault of the list while the file is loaded (nothing on disk is touched), and expects
 * the named tests to fail. With words: only faults with these words in their name.
 */
import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { HAND_MADE, type HandMade } from './hand-made-mutations.ts'
import { changeWhileLoading, collect, collectInsteadOfVitest } from './runner/hooks.ts'

const ROOT = join(import.meta.dirname, '..', '..')
const [asked, ...words] = process.argv.slice(2)

/** In a process of its own for each fault: what has been loaded cannot be loaded otherwise. Fails when a test fails. */
async function tryOne(number: number, isChanged: boolean): Promise<void> {
  const { file, from, to, tests } = HAND_MADE[number]!
  collectInsteadOfVitest()
  if (isChanged) changeWhileLoading(join(ROOT, file), text => text.replace(from, () => to))
  for (const { run } of await collect(tests.map(test => join(ROOT, test)))) await run()
}

function passes(number: number, isChanged: boolean): boolean {
  const options = [import.meta.filename, isChanged ? '--changed' : '--unchanged', String(number)]
  return spawnSync(process.execPath, options, { cwd: ROOT, stdio: 'ignore' }).status === 0
}

/** undefined: the tests notice it. */
function faultOf(mutation: HandMade): string | undefined {
  const { file, from, tests } = mutation
  const number = HAND_MADE.indexOf(mutation)
  const count = readFileSync(join(ROOT, file), 'utf8').split(from).length - 1
  if (count !== 1) return `its text occurs ${count} times in ${file}, and once would be right.`
  if (!passes(number, false)) return `${tests.join(', ')} fails without it, too.`
  return passes(number, true) ? `no test of ${tests.join(', ')} notices it.` : undefined
}

function main(): void {
  const wanted = asked === undefined ? [] : [asked, ...words]
  const chosen = HAND_MADE.filter(({ name }) => wanted.every(word => name.includes(word)))
  let noticed = 0
  for (const mutation of chosen) {
    const fault = faultOf(mutation)
    if (fault === undefined) noticed++
    else process.exitCode = 1
    console.log(fault === undefined ? `noticed: ${mutation.name}` : `FAILED: ${mutation.name}: ${fault}`)
  }
  console.log(`${noticed} of ${chosen.length} faults made by hand are noticed.`)
}

if (asked === '--changed' || asked === '--unchanged') await tryOne(Number(words[0]), asked === '--changed')
else main()
