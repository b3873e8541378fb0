import { quoted } from '@attemper/core/source-text/quoted.ts'
import { type Beginning, YEAST_HABITS } from './beginning.ts'

const CRASH_C = 2

/** The plan that `attemper new` writes: hold, warm up to finish, and chill where something chills. */
export function planBeginning(beginning: Beginning): string {
  const { lowest_C, highest_C } = YEAST_HABITS[beginning.yeast]
  const chills = beginning.equipment === 'fridge'
  const warm_C = Math.min(highest_C - 1, beginning.target_C + 3)
  const lowest = chills ? 0 : Math.min(lowest_C, beginning.target_C) - 6
  const crash = `
  # Third stage: chill the beer, so that the yeast settles.
  - stage: Crash
    # Down to ${CRASH_C} °C, spread over three days: as fast as an ordinary refrigerator can.
    ramp: { to: ${CRASH_C} °C, over: 3 d }
    # It is over when the beer has been cold for half a day.
    until: { beer: { at most: ${CRASH_C + 0.5} °C }, lasting: 12 h }
    # After a week at the latest you are asked what to do.
    at most: 7 d
    if late: ask
`
  return `# A plan: what the temperature should do, stage by stage, and what moves the batch on.
# "attemper describe" says it back in sentences, "attemper check" proof-reads it.
plan: ${quoted(beginning.name)}

# Temperatures that the beer must never leave, whatever a stage says.
limits: { lowest: ${lowest} °C, highest: ${highest_C + 3} °C }

# The stages, in this order.
stages:
  # First stage: most of the sugar is fermented here.
  - stage: Primary
    # Keep the beer at this temperature.
    hold: ${beginning.target_C} °C
    # Move on when the gravity is within 10 points (0.010) of the final gravity that the beer file expects.
    until: { gravity: { above final: 10 points } }
    # If that has not happened after this time, something is slow: you are asked.
    at most: 14 d
    if late: ask
    # If nobody knows the gravity for this long (a silent instrument), you are asked too.
    if unknown: { wait: 12 h, then: ask }

  # Second stage: a little warmer, so that the yeast finishes and cleans up.
  - stage: Warm finish
    # Up to this temperature, spread over two days.
    ramp: { to: ${warm_C} °C, over: 2 d }
    # Move on when both are true...
    until:
      all:
        # ...the gravity has stood still within 1 point for two days...
        - gravity: { steady within: 1 point, for: 48 h }
        # ...and the stage has lasted three days.
        - stage lasted: 3 d
    # Ask this before moving on.
    ask first: Does it taste clean, and is the gravity where you want it?
    # As above: the longest time, and what while nobody knows the gravity.
    at most: 14 d
    if late: ask
    if unknown: { wait: 12 h, then: ask }
${chills ? crash : ''}`
}
