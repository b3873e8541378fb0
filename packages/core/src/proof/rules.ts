import type { Rule } from './rule.ts'
import { actingCharacters } from './rules/acting-characters.ts'
import { bandsOverlap } from './rules/bands-overlap.ts'
import { cascadeWithoutAir } from './rules/cascade-without-air.ts'
import { changeoverShorterThanLag } from './rules/changeover-shorter-than-lag.ts'
import { commandLasts } from './rules/command-lasts.ts'
import { compressorRestShort } from './rules/compressor-rest-short.ts'
import { conditionAfterLongestTime } from './rules/condition-after-longest-time.ts'
import { conditionNeverTrue } from './rules/condition-never-true.ts'
import { cycleWithoutEnd } from './rules/cycle-without-end.ts'
import { cycleWithoutTime } from './rules/cycle-without-time.ts'
import { finalGravityOutOfReach } from './rules/final-gravity-out-of-reach.ts'
import { finalGravityUnknown } from './rules/final-gravity-unknown.ts'
import { forecastUnknown } from './rules/forecast-unknown.ts'
import { gravityAboveOriginal } from './rules/gravity-above-original.ts'
import { heldByNothing } from './rules/held-by-nothing.ts'
import { hotAndElectric } from './rules/hot-and-electric.ts'
import { hysteresisTooNarrow } from './rules/hysteresis-too-narrow.ts'
import { leftToThermostat } from './rules/left-to-thermostat.ts'
import { originalGravityWithoutFloat } from './rules/original-gravity-without-float.ts'
import { packagedUnfinished } from './rules/packaged-unfinished.ts'
import { quantityNotMeasured } from './rules/quantity-not-measured.ts'
import { rampLongerThanStage } from './rules/ramp-longer-than-stage.ts'
import { rampRateUnusual } from './rules/ramp-rate-unusual.ts'
import { rampTooSteep } from './rules/ramp-too-steep.ts'
import { silentInstrument } from './rules/silent-instrument.ts'
import { stageCannotEnd } from './rules/stage-cannot-end.ts'
import { stageMayWait } from './rules/stage-may-wait.ts'
import { steadyWindow } from './rules/steady-window.ts'
import { targetFreezes } from './rules/target-freezes.ts'
import { targetOutOfReach } from './rules/target-out-of-reach.ts'
import { targetOutsideComfort } from './rules/target-outside-comfort.ts'
import { targetOutsideLimits } from './rules/target-outside-limits.ts'
import { targetOutsideThermostat } from './rules/target-outside-thermostat.ts'
import { thermostatKeepsAir } from './rules/thermostat-keeps-air.ts'
import { thermostatTooCoarse } from './rules/thermostat-too-coarse.ts'
import { timeoutTooShort } from './rules/timeout-too-short.ts'
import { unknownBeforeWindow } from './rules/unknown-before-window.ts'
import { unreachableStage } from './rules/unreachable-stage.ts'
import { windowShorterThanRest } from './rules/window-shorter-than-rest.ts'

/** All rules of the proof-reader: what they look for and why is the catalogue from which the documentation is made. */
export const RULES: readonly Rule[] = [
  unreachableStage,
  stageCannotEnd,
  conditionNeverTrue,
  conditionAfterLongestTime,
  rampLongerThanStage,
  cycleWithoutEnd,
  cycleWithoutTime,
  silentInstrument,
  heldByNothing,
  stageMayWait,
  quantityNotMeasured,
  timeoutTooShort,
  hysteresisTooNarrow,
  bandsOverlap,
  windowShorterThanRest,
  cascadeWithoutAir,
  changeoverShorterThanLag,
  compressorRestShort,
  commandLasts,
  leftToThermostat,
  thermostatTooCoarse,
  thermostatKeepsAir,
  targetOutsideLimits,
  targetOutsideThermostat,
  targetFreezes,
  targetOutsideComfort,
  targetOutOfReach,
  rampTooSteep,
  rampRateUnusual,
  finalGravityOutOfReach,
  gravityAboveOriginal,
  originalGravityWithoutFloat,
  steadyWindow,
  unknownBeforeWindow,
  finalGravityUnknown,
  forecastUnknown,
  packagedUnfinished,
  hotAndElectric,
  actingCharacters,
]
