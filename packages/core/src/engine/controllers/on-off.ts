import type { Scope } from '../scope.ts'

/**
 * On-off control with hysteresis, for one appliance. `start` and `stop` are distances from the target in the appliance's
 * own direction, K: a heater starts `start_K` below its target and stops `stop_K` below it; a cooler the same above.
 */
export function wantsHeat(
  scope: Scope,
  channel: number,
  value_C: number,
  wasOn: boolean,
  target_C: number,
  start_K: number,
  stop_K: number,
): boolean {
  return wasOn
    ? !scope.atLeast(channel, value_C, target_C - stop_K)
    : scope.atMost(channel, value_C, target_C - start_K)
}

/** As `wantsHeat`, with the signs turned round. */
export function wantsCold(
  scope: Scope,
  channel: number,
  value_C: number,
  wasOn: boolean,
  target_C: number,
  start_K: number,
  stop_K: number,
): boolean {
  return wasOn
    ? !scope.atMost(channel, value_C, target_C + stop_K)
    : scope.atLeast(channel, value_C, target_C + start_K)
}
