import { Crew, usualCrewSize } from './crew.ts'
import { Forecaster } from './forecaster.ts'
import { Rehearser } from './rehearser.ts'
import { reducingHand, simulatingHand } from './worker-hand.ts'

let crew: Crew | null = null
let rehearser: Rehearser | null = null
let forecaster: Forecaster | null = null

/** The workers of this page: hired when they are first needed, then kept, because warm ones are many times as fast. */
function crewHere(): Crew {
  crew ??= new Crew(Array.from({ length: usualCrewSize(navigator.hardwareConcurrency) }, simulatingHand))
  return crew
}

export function rehearserHere(): Rehearser {
  rehearser ??= new Rehearser(crewHere(), reducingHand(), () => performance.now())
  return rehearser
}

/** It shares the workers with the rehearser: of the two, only the one whose screen is seen is at work. */
export function forecasterHere(): Forecaster {
  forecaster ??= new Forecaster(crewHere())
  return forecaster
}
