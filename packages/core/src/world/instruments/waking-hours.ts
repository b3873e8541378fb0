import type { BrewerHabits } from '../../beer/beer.ts'

const DAY_S = 86_400
/** 1970-01-01 was a Thursday. */
const FIRST_SATURDAY_S = 2 * DAY_S

/** The first moment, at or after `t_s` local time, at which the brewer is awake and at home. */
export function nextAwake_s(brewer: BrewerHabits, local_s: number): number {
  let t_s = local_s
  for (let pass = 0; pass < 4; pass++) {
    const awake_s = afterWeekend_s(brewer, afterSleep_s(brewer, t_s))
    if (awake_s === t_s) return t_s
    t_s = awake_s
  }
  return t_s
}

function afterSleep_s(brewer: BrewerHabits, t_s: number): number {
  const { asleepFrom_s, asleepTo_s } = brewer
  const night_s = modulo(asleepTo_s - asleepFrom_s, DAY_S)
  const sinceBed_s = modulo(t_s - asleepFrom_s, DAY_S)
  return sinceBed_s < night_s ? t_s + night_s - sinceBed_s : t_s
}

function afterWeekend_s(brewer: BrewerHabits, t_s: number): number {
  if (!brewer.awayAtWeekends) return t_s
  const sinceSaturday_s = modulo(t_s - FIRST_SATURDAY_S, 7 * DAY_S)
  return sinceSaturday_s < 2 * DAY_S ? t_s + 2 * DAY_S - sinceSaturday_s : t_s
}

function modulo(a: number, b: number): number {
  return ((a % b) + b) % b
}
