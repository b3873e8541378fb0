/**
 * The usual cautions, in one place, so that screen, page and terminal say the same. They defer to local codes and licensed
 * practice, and are common practice without a single source.
 */

/** Wherever a batch ends, or seems ready. */
export const UNFINISHED_BEER =
  'Never bottle a beer that may not have finished, and never close its vessel without a relief valve.'

/** Wherever a rehearsal is shown. */
export const ONLY_A_MODEL =
  'A rehearsal is a model, not a promise, and software is never the only protection against heat or pressure.'
