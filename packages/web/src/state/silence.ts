/** Two clocks of this machine: one that never jumps but may stand still while it sleeps, and one that may be set. */
export interface HereAndNow {
  readonly running_ms: number
  readonly wall_ms: number
}

/** The cellar says something every three seconds at the least: two of them may get lost or be late. */
export const SILENCE_ms = 8000

/** Whether nothing was heard for longer than the cellar is ever silent. Either clock is enough: one may have slept. */
export function isSilent(heard: HereAndNow, now: HereAndNow): boolean {
  return now.running_ms - heard.running_ms > SILENCE_ms || now.wall_ms - heard.wall_ms > SILENCE_ms
}
