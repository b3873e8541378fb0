import type { Equivalent } from './equivalent.ts'

/** Mutants that no test can kill, each with the reason why it changes nothing. */
export const EQUIVALENT_MUTANTS: readonly Equivalent[] = []
