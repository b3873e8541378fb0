import type { Mutant } from './mutant.ts'

/** A mutation that changes nothing that anybody could see, so that no test can kill it. */
export interface Equivalent {
  readonly file: string
  /** The line on which it begins, without indentation. */
  readonly text: string
  /** 'before -> after', as `npm run mutants` prints it. */
  readonly mutation: string
  readonly why: string
}

export const isListed = (list: readonly Equivalent[], mutant: Mutant): boolean =>
  list.some(entry => isThis(entry, mutant))

const isThis = (entry: Equivalent, mutant: Mutant): boolean =>
  entry.file === mutant.file && entry.text === mutant.text && entry.mutation === mutant.mutation

/**
 * What is wrong with the list, for the files that were mutated as a whole: an entry that fits nothing any more hides
 * nothing today and may hide a hole tomorrow, and one that a test kills is not equivalent.
 */
export function faultsOfList(
  list: readonly Equivalent[],
  mutants: readonly Mutant[],
  wholeFiles: readonly string[],
): readonly string[] {
  return list
    .filter(({ file }) => wholeFiles.includes(file))
    .flatMap(entry => {
      const named = `${entry.file}: "${entry.text}": ${entry.mutation}`
      const meant = mutants.filter(mutant => isThis(entry, mutant))
      if (meant.length === 0)
        return [`An equivalent mutant fits nothing any more; remove it from the list. ${named}`]
      if (meant.every(({ fate }) => fate === 'killed'))
        return [`A test kills this mutant, so it is not equivalent; remove it from the list. ${named}`]
      return []
    })
}
