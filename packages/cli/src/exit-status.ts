/** What a command leaves behind for the shell. Documented in every `--help`. */
export const EXIT = {
  /** Done, and nothing that stops a start. */
  good: 0,
  /** Done, but with a finding of level error, or a drill that failed; or the cellar refused. */
  bad: 1,
  /** A file can not be read or written, no cellar answers, or the command line is wrong. */
  usage: 2,
  /** A fault of Attemper itself. */
  internal: 3,
} as const

export type ExitStatus = (typeof EXIT)[keyof typeof EXIT]

/** Something that the person at the keyboard can put right: said in one sentence, status 2. */
export class UsageError extends Error {
  override readonly name = 'UsageError'
}

/** The command was understood, but can not be done as things stand: said with its cure, status 1. */
export class RefusedError extends Error {
  override readonly name = 'RefusedError'
}
