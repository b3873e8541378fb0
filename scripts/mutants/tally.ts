import { type Equivalent, isListed } from './equivalent.ts'
import type { Mutant } from './mutant.ts'

/** How many mutants of a folder met which fate. */
export interface Tally {
  readonly folder: string
  /** A test fails, or does not end (`timedOut` of them). */
  readonly killed: number
  /** No test notices (no test even runs `noCoverage` of them), and they are not in the list of equivalents. */
  readonly survived: number
  readonly equivalent: number
  readonly timedOut: number
  readonly noCoverage: number
  /** killed / (killed + survived); 1 when there is nothing to kill. */
  readonly share: number
}

export function tally(folder: string, mutants: readonly Mutant[], list: readonly Equivalent[]): Tally {
  const count = (ofThem: readonly Mutant[], ...fates: readonly string[]) =>
    ofThem.filter(({ fate }) => fates.includes(fate)).length
  const killed = count(mutants, 'killed', 'timed out')
  const left = survivors(mutants, list)
  return {
    folder,
    killed,
    survived: left.length,
    equivalent: mutants.length - killed - left.length,
    timedOut: count(mutants, 'timed out'),
    noCoverage: count(left, 'no coverage'),
    share: killed + left.length === 0 ? 1 : killed / (killed + left.length),
  }
}

export function survivors(mutants: readonly Mutant[], list: readonly Equivalent[]): readonly Mutant[] {
  return mutants.filter(
    mutant => (mutant.fate === 'survived' || mutant.fate === 'no coverage') && !isListed(list, mutant),
  )
}

export function printTallies(tallies: readonly Tally[]): string {
  const head = ['folder', 'killed', 'survived', 'equivalent', 'killed of those that can be']
  const rows = tallies.map(({ folder, killed, survived, equivalent, share }) => [
    folder,
    String(killed),
    String(survived),
    String(equivalent),
    `${(100 * share).toFixed(1)} %`,
  ])
  const widths = head.map((_, n) => Math.max(...[head, ...rows].map(row => row[n]!.length)))
  const line = (row: readonly string[]) =>
    row.map((cell, n) => (n === 0 ? cell.padEnd(widths[n]!) : cell.padStart(widths[n]!))).join('  ')
  return [head, ...rows].map(line).join('\n')
}
