import { type LimitCycle, limitCycle, type SwitchedProcess, swings } from './limit-cycle.ts'

/**
 * The limit cycle of a process with two lags, such as a vessel whose heater or probe stores heat. The temperature is the
 * sum of two first-order parts, so that each phase has a closed form; only the two phases' lengths are found by Newton's
 * method, from the first-order cycle that counts the second lag as dead time.
 *
 * Source: derived from the solution of the linear model, and checked by fine stepping.
 *
 * @param process `lag_s` is the larger lag.
 * @param secondLag_s Smaller than `lag_s`, not 0.
 * @returns null: no cycle, or none was found.
 */
export function limitCycleOfTwoLags(process: SwitchedProcess, secondLag_s: number): LimitCycle | null {
  const guess = limitCycle({ ...process, deadTime_s: process.deadTime_s + secondLag_s })
  if (guess === null || !swings(process)) return null
  const parts = partsOf(process.lag_s, secondLag_s)
  let x: Pair = [Math.log(guess.on_s), Math.log(guess.off_s)]
  for (let turn = 0; turn < 50; turn++) {
    const miss = missAt(process, parts, x)
    const step = newtonStep(process, parts, x, miss)
    x = [x[0] - step[0], x[1] - step[1]]
    if (!(Number.isFinite(x[0]) && Number.isFinite(x[1]))) return null
    if (Math.abs(step[0]) + Math.abs(step[1]) < 1e-14) break
  }
  const [missOff_K, missOn_K] = missAt(process, parts, x)
  if (Math.abs(missOff_K) + Math.abs(missOn_K) > 1e-9) return null
  return describe(process, parts, Math.exp(x[0]), Math.exp(x[1]))
}

type Pair = readonly [number, number]

/** One first-order part of the temperature; the shares add up to 1. */
interface Part {
  readonly share: number
  readonly lag_s: number
}

function partsOf(first_s: number, second_s: number): readonly [Part, Part] {
  return [
    { share: first_s / (first_s - second_s), lag_s: first_s },
    { share: -second_s / (first_s - second_s), lag_s: second_s },
  ]
}

/** Where each part stands at the end of the phases, when the phases repeat for ever. */
function endsOf(process: SwitchedProcess, part: Part, on_s: number, off_s: number) {
  const rise_K = process.whenOn_C - process.whenOff_C
  const whole = 1 - Math.exp(-(on_s + off_s) / part.lag_s)
  const offFade = Math.exp(-off_s / part.lag_s)
  const onFade = Math.exp(-on_s / part.lag_s)
  return {
    afterOff_C: process.whenOff_C + (rise_K * offFade * (1 - onFade)) / whole,
    afterOn_C: process.whenOff_C + (rise_K * (1 - onFade)) / whole,
  }
}

/** By how much the temperature misses its switching points if the phases last e^x. */
function missAt(process: SwitchedProcess, parts: readonly [Part, Part], x: Pair): Pair {
  const on_s = Math.exp(x[0])
  const off_s = Math.exp(x[1])
  let stop_C = 0
  let start_C = 0
  for (const part of parts) {
    const ends = endsOf(process, part, on_s, off_s)
    const onFade = Math.exp(-(on_s - process.deadTime_s) / part.lag_s)
    const offFade = Math.exp(-(off_s - process.deadTime_s) / part.lag_s)
    stop_C += part.share * (process.whenOn_C + (ends.afterOff_C - process.whenOn_C) * onFade)
    start_C += part.share * (process.whenOff_C + (ends.afterOn_C - process.whenOff_C) * offFade)
  }
  return [stop_C - process.stopsAt_C, start_C - process.startsAt_C]
}

function newtonStep(process: SwitchedProcess, parts: readonly [Part, Part], x: Pair, miss: Pair): Pair {
  const h = 1e-6
  const slope = (dx: Pair): Pair => {
    const up = missAt(process, parts, [x[0] + dx[0], x[1] + dx[1]])
    const down = missAt(process, parts, [x[0] - dx[0], x[1] - dx[1]])
    return [(up[0] - down[0]) / (2 * h), (up[1] - down[1]) / (2 * h)]
  }
  const byOn = slope([h, 0])
  const byOff = slope([0, h])
  const determinant = byOn[0] * byOff[1] - byOff[0] * byOn[1]
  const step: Pair = [
    (miss[0] * byOff[1] - miss[1] * byOff[0]) / determinant,
    (miss[1] * byOn[0] - miss[0] * byOn[1]) / determinant,
  ]
  const longest = Math.max(Math.abs(step[0]), Math.abs(step[1]), 1)
  return [step[0] / longest, step[1] / longest]
}

function describe(
  process: SwitchedProcess,
  parts: readonly [Part, Part],
  on_s: number,
  off_s: number,
): LimitCycle {
  const [first, second] = parts
  const firstEnds = endsOf(process, first, on_s, off_s)
  const secondEnds = endsOf(process, second, on_s, off_s)
  /** The temperature turns when the faster part has come back far enough. */
  const turn_C = (tendsTo_C: number, first_C: number, second_C: number): number => {
    const after_s =
      Math.log((second_C - tendsTo_C) / (first_C - tendsTo_C)) / (1 / second.lag_s - 1 / first.lag_s)
    return (
      tendsTo_C +
      first.share * (first_C - tendsTo_C) * Math.exp(-after_s / first.lag_s) +
      second.share * (second_C - tendsTo_C) * Math.exp(-after_s / second.lag_s)
    )
  }
  const period_s = on_s + off_s
  const duty = on_s / period_s
  return {
    on_s,
    off_s,
    period_s,
    duty,
    afterOff_C: turn_C(process.whenOff_C, firstEnds.afterOn_C, secondEnds.afterOn_C),
    afterOn_C: turn_C(process.whenOn_C, firstEnds.afterOff_C, secondEnds.afterOff_C),
    mean_C: process.whenOff_C + duty * (process.whenOn_C - process.whenOff_C),
  }
}
