/** A fault that somebody could make in a guard, and the tests that must notice it. The text must occur once in the file. */
export interface HandMade {
  readonly name: string
  readonly file: string
  readonly from: string
  readonly to: string
  readonly tests: readonly string[]
}

const ENGINE = 'packages/core/src/engine'

const mutation = (name: string, file: string, from: string, to: string, test: string): HandMade => ({
  name,
  file: `${ENGINE}/${file}.ts`,
  from,
  to,
  tests: [`${ENGINE}/${test}.test.ts`],
})

/**
 * Faults that no tool makes, or that once went unnoticed: each was made by hand when a safety review asked which guard
 * would be missed if it were gone.
 */
export const HAND_MADE: readonly HandMade[] = [
  mutation(
    'the heater has no highest limit',
    'interlocks',
    "if (name === 'heater' && scope.atLeast(channel, beer_C, program.highest_C))",
    'if (false)',
    'limits',
  ),
  mutation(
    'the same, judged by the property',
    'interlocks',
    "if (name === 'heater' && scope.atLeast(channel, beer_C, program.highest_C))",
    'if (false)',
    'advance.property',
  ),
  mutation(
    'the cooler has no lowest limit',
    'interlocks',
    "if (name === 'cooler' && scope.atMost(channel, beer_C, program.lowest_C))",
    'if (false)',
    'limits',
  ),
  mutation(
    'a rival that may not run keeps the other off',
    'interlocks',
    ' &&\n    safetyBlock(draft, OTHER[name]) === null',
    '',
    'limits',
  ),
  mutation(
    'a small way in the wrong direction stops an appliance',
    'interlocks',
    'WRONG_WAY = 3',
    'WRONG_WAY = 1',
    'response',
  ),
  mutation(
    'a channel that has fallen silent earns trust',
    'arbitrate',
    'if (now_s >= channel.at_s! + program.channels[number]!.silence_s) continue',
    '',
    'arbitrate',
  ),
  mutation(
    'the answer stands although another instrument may come to agree from above',
    'arbitrate',
    'if (otherValue! > value) scope.between(other, value + disagree, Number.POSITIVE_INFINITY)\n    else',
    'if (otherValue! <= value)',
    'arbitrate',
  ),
  mutation(
    'the same from below',
    'arbitrate',
    'else scope.between(other, Number.NEGATIVE_INFINITY, value - disagree)',
    '',
    'arbitrate',
  ),
  mutation(
    'the same, told twice',
    'arbitrate',
    'if (otherValue! > value) scope.between(other, value + disagree, Number.POSITIVE_INFINITY)\n    else',
    'if (otherValue! <= value)',
    'jumps.property',
  ),
  mutation(
    'unknown keeps the clock of a dwell',
    'conditions',
    'if (trueSince_s !== null) state',
    'if (now === FALSE && trueSince_s !== null) state',
    'condition-table',
  ),
  mutation(
    "'any' looks no further than the first part that is true",
    'conditions',
    'truth = or(truth, evaluate(draft, part))',
    'truth = truth === TRUE ? truth : or(truth, evaluate(draft, part))',
    'condition-table',
  ),
  mutation(
    "'all' looks no further than the first part that is false",
    'conditions',
    'truth = and(truth, evaluate(draft, part))',
    'truth = truth === FALSE ? truth : and(truth, evaluate(draft, part))',
    'condition-table',
  ),
  mutation(
    'a branch moves a held batch',
    'stages',
    '!== TRUE || !mayMove || isWaiting',
    '!== TRUE || isWaiting',
    'held-batch',
  ),
  mutation(
    'a lateness moves a held batch',
    'stages',
    'movesByItself && mayMove &&',
    'movesByItself &&',
    'held-batch',
  ),
  mutation('every task must be waited for', 'stages', 'if (!wait) continue', '', 'held-batch'),
  mutation(
    'the next stage counts from the target of the one before',
    'stages',
    'state.reachedAt_s = null',
    '',
    'held-batch',
  ),
  mutation(
    'held again for being late after it was resumed',
    'stages',
    "stage.ifLate === 'hold' && isFirst",
    "stage.ifLate === 'hold'",
    'held-batch',
  ),
  mutation(
    'held again for being unknown after it was resumed',
    'stages',
    'state.fallback = true',
    '',
    'held-batch',
  ),
  mutation(
    'a jump takes no trust away',
    'validate',
    'if (jumped && before.trusted)',
    'if (false)',
    'readings',
  ),
  mutation(
    'a jump does not break a row of good readings',
    'validate',
    'const isRow = !jumped &&',
    'const isRow =',
    'readings',
  ),
  mutation(
    'repeated readings are accepted',
    'validate',
    'draft.now_s) <= before.at_s',
    'draft.now_s) < before.at_s',
    'readings',
  ),
  mutation(
    'late readings are accepted',
    'validate',
    'if (before.at_s !== null && Math.min(reading.at_s, draft.now_s) <= before.at_s) continue',
    'if (before.at_s !== null && Math.min(reading.at_s, draft.now_s) === before.at_s) continue',
    'readings',
  ),
]
