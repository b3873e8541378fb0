import { Crew, usualCrewSize } from './crew.ts'
import { Rehearser } from './rehearser.ts'
import { reducingHand, simulatingHand } from './worker-hand.ts'

let made: Rehearser | null = null

/** The workers of this page: hired when they are first needed, then kept, because warm ones are many times as fast. */
export function rehearserHere(): Rehearser {
  made ??= new Rehearser(
    new Crew(Array.from({ length: usualCrewSize(navigator.hardwareConcurrency) }, simulatingHand)),
    reducingHand(),
    () => performance.now(),
  )
  return made
}
