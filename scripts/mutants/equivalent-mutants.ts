import type { Equivalent } from './equivalent.ts'

const ENGINE = 'packages/core/src/engine'

type Listed = readonly [text: string, mutation: string]

/** Mutants of one file that change nothing for one reason. */
const same = (file: string, why: string, ...listed: readonly Listed[]): readonly Equivalent[] =>
  listed.map(([text, mutation]) => ({ file: `${ENGINE}/${file}.ts`, text, mutation, why }))

/** Mutants that no test can kill, each with the reason why it changes nothing. */
export const EQUIVALENT_MUTANTS: readonly Equivalent[] = [
  ...same(
    'kleene',
    'Of two equal values it does not matter which one is given back.',
    ['return a < b ? a : b', 'a < b -> a <= b'],
    ['return a > b ? a : b', 'a > b -> a >= b'],
  ),
  ...same(
    'interlocks',
    'What a vessel does not have is never on, and the controller never wants it.',
    [
      'if (partOf(draft.program, name) !== null && partOf(draft.state, name).on)',
      'partOf(draft.program, name) !== null -> true',
    ],
    [
      'if (partOf(draft.program, name) !== null && !partOf(draft.state, name).on)',
      'partOf(draft.program, name) !== null -> true',
    ],
    ['partOf(program, OTHER[name]) !== null &&', 'partOf(program, OTHER[name]) !== null -> true'],
  ),
  ...same('interlocks', 'Nothing is on without a lease.', [
    'if (!on || leaseUntil_s === null || draft.now_s < leaseUntil_s) continue',
    'leaseUntil_s === null -> false',
  ]),
  ...same('interlocks', 'A question about a thermostat is put only where there is one.', [
    'else if (state.thermostat) state.thermostat = { ...state.thermostat, lockedOut: false }',
    'state.thermostat -> true',
  ]),
  ...same(
    'interlocks',
    'A time that is not known counts as 1970, and whatever lasts from then is over.',
    ['if (other.ranUntil_s !== null) {', 'other.ranUntil_s !== null -> true'],
    ['if (since_s !== null) {', 'since_s !== null -> true'],
  ),
  ...same(
    'interlocks',
    'Nothing is on while the beer is unknown, nor outside of a stage.',
    ['if (!isFull || !appliance.on || beer_C === null || isOtherInstrument) {', 'beer_C === null -> false'],
    [
      "const isBoiling = presentStage(draft)?.course.kind === 'boil' && state.reachedAt_s !== null",
      'presentStage(draft)?.course -> presentStage(draft).course',
    ],
  ),
  ...same(
    'interlocks',
    'The two are always set and forgotten together.',
    [
      'if (watchFrom_s === null || watchFrom_C === null) {',
      'watchFrom_s === null || watchFrom_C === null -> watchFrom_s === null && watchFrom_C === null',
    ],
    ['if (watchFrom_s === null || watchFrom_C === null) {', 'watchFrom_s === null -> false'],
    ['if (watchFrom_s === null || watchFrom_C === null) {', 'watchFrom_C === null -> false'],
  ),
  ...same('conditions', 'A history of a single entry has no trend, just as an empty one.', [
    'if (channel < 0) return []',
    '[] -> ["Stryker was here"]',
  ]),
  ...same(
    'control',
    'A window that never began counts from 1970, so that it is over.',
    [
      'return windowFrom_s === null || draft.now_s >= windowFrom_s + settings.window_s',
      'windowFrom_s === null -> false',
    ],
    [
      'if (windowFrom_s === null || draft.now_s < windowFrom_s + 2 * settings.window_s) return controller',
      'windowFrom_s === null -> false',
    ],
  ),
  ...same(
    'controllers/pid',
    'Without growth it does not matter whether it is kept out.',
    [
      'const isWindingUp = (wished > most && growth > 0) || (wished < least && growth < 0)',
      'growth > 0 -> growth >= 0',
    ],
    [
      'const isWindingUp = (wished > most && growth > 0) || (wished < least && growth < 0)',
      'growth < 0 -> growth <= 0',
    ],
  ),
  ...same(
    'controllers/proportional',
    'A pulse of no output ends when it begins.',
    ['heatUntil_s: output > 0 ? end_s : now_s,', 'output > 0 -> output >= 0'],
    ['coolUntil_s: output < 0 ? end_s : now_s,', 'output < 0 -> output <= 0'],
  ),
  ...same(
    'trend',
    'The times are counted from their mean, so that a constant in the values falls out; it only spares digits.',
    ['meanValue += history[i]![1]', 'meanValue += history[i]![1] -> meanValue -= history[i]![1]'],
    ['meanValue /= count', 'meanValue /= count -> meanValue *= count'],
    [
      'products += time * (history[i]![1] - meanValue)',
      'history[i]![1] - meanValue -> history[i]![1] + meanValue',
    ],
  ),
  ...same(
    'thermostat',
    'The two are always set and forgotten together, and without them there is no way to go.',
    [
      'if (watchFrom_s === null || watchFrom_C === null || watchTowards !== towards) {',
      'watchFrom_s === null || watchFrom_C === null -> false',
    ],
    [
      'if (watchFrom_s === null || watchFrom_C === null || watchTowards !== towards) {',
      'watchFrom_s === null || watchFrom_C === null -> watchFrom_s === null && watchFrom_C === null',
    ],
    [
      'if (watchFrom_s === null || watchFrom_C === null || watchTowards !== towards) {',
      'watchFrom_s === null -> false',
    ],
    [
      'if (watchFrom_s === null || watchFrom_C === null || watchTowards !== towards) {',
      'watchFrom_C === null -> false',
    ],
  ),
  ...same('thermostat', 'It is never set to anything without a lease.', [
    'if (keepsTarget || set_C === null || leaseUntil_s === null || draft.now_s < leaseUntil_s) return',
    'leaseUntil_s === null -> false',
  ]),
  ...same(
    'thermostat',
    'The line and the one after the next both ask whether the beer is known; either of them is enough.',
    [
      'const towards = beer_C === null || isOtherInstrument ? null : expected(draft, device, beer_C)',
      'beer_C === null -> false',
    ],
    ['if (towards === null || beer_C === null) {', 'beer_C === null -> false'],
  ),
  ...same('thermostat', 'What is not watched is forgotten once more.', [
    'if (thermostat.watchFrom_s !== null) change(draft, NOT_WATCHED)',
    'thermostat.watchFrom_s !== null -> true',
  ]),
  ...same('conditions', 'What stands there already is written once more.', [
    'if (trueSince_s === null) state.dwells = state.dwells.with(test.dwell, { trueSince_s: since_s })',
    'trueSince_s === null -> true',
  ]),
  ...same(
    'scope',
    'An array grows as it is written; its length at first only spares time.',
    ['const lower = new Array<number>(channels)', 'new Array<number>(channels) -> new Array()'],
    ['const upper = new Array<number>(channels)', 'new Array<number>(channels) -> new Array()'],
    ['const silence_s = new Array<number>(channels)', 'new Array<number>(channels) -> new Array()'],
  ),
  ...same(
    'scope',
    'Of two equal bounds it does not matter which one is kept.',
    ['if (at_s < this.until_s) this.until_s = at_s', 'at_s < this.until_s -> at_s <= this.until_s'],
    ['if (at_s < this.renewal_s) this.renewal_s = at_s', 'at_s < this.renewal_s -> at_s <= this.renewal_s'],
    [
      'if (threshold > this.lower[channel]!) this.lower[channel] = threshold',
      'threshold > this.lower[channel]! -> threshold >= this.lower[channel]!',
    ],
    [
      '} else if (threshold < this.upper[channel]!) this.upper[channel] = threshold',
      'threshold < this.upper[channel]! -> threshold <= this.upper[channel]!',
    ],
    [
      'if (threshold < this.upper[channel]!) this.upper[channel] = threshold',
      'threshold < this.upper[channel]! -> threshold <= this.upper[channel]!',
    ],
    [
      '} else if (threshold > this.lower[channel]!) this.lower[channel] = threshold',
      'threshold > this.lower[channel]! -> threshold >= this.lower[channel]!',
    ],
    [
      'if (lower > this.lower[channel]!) this.lower[channel] = lower',
      'lower > this.lower[channel]! -> lower >= this.lower[channel]!',
    ],
    [
      'if (upper < this.upper[channel]!) this.upper[channel] = upper',
      'upper < this.upper[channel]! -> upper <= this.upper[channel]!',
    ],
  ),
  ...same('scope', 'No bound is narrower than one that is not there.', [
    'if (channel >= 0) {',
    'channel >= 0 -> true',
  ]),
]
