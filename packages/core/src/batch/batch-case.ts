import type { Beer } from '../beer/beer.ts'
import { readBeer } from '../beer/read-beer.ts'
import { compile } from '../engine/compile.ts'
import type { Program } from '../engine/program.ts'
import type { Finding } from '../finding.ts'
import type { Plan } from '../plan/plan.ts'
import { readPlan } from '../plan/read-plan.ts'
import type { SentenceContext } from '../report/sentences/context.ts'
import { type DisplayUnits, USUAL_UNITS } from '../units/display.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import type { Vessel } from '../vessel/vessel.ts'
import { sentenceContext } from './sentence-context.ts'

/** The three texts of a batch, read and made ready for the engine, and what sentences about it need to know. */
export interface BatchCase {
  readonly plan: Plan
  readonly vessel: Vessel
  readonly beer: Beer
  readonly program: Program
  readonly context: SentenceContext
}

export interface BatchTexts {
  readonly planText: string
  readonly vesselText: string
  readonly beerText: string
  readonly localOffset_s: number
}

/** How findings name the three texts: a cellar has no files. */
export const FILES = { plan: 'plan', vessel: 'vessel', beer: 'beer' } as const

/** `batch` is null when one of the texts has errors that keep it from being read. */
export function readCase(
  texts: BatchTexts,
  units: DisplayUnits = USUAL_UNITS,
): {
  readonly batch: BatchCase | null
  readonly findings: readonly Finding[]
} {
  const { plan, findings: inPlan } = readPlan(texts.planText, FILES.plan)
  const { vessel, findings: inVessel } = readVessel(texts.vesselText, FILES.vessel)
  const { beer, findings: inBeer } = readBeer(texts.beerText, FILES.beer)
  const findings = [...inPlan, ...inVessel, ...inBeer]
  if (plan === null || vessel === null || beer === null) return { batch: null, findings }
  const program = compile(plan, vessel, beer, texts.localOffset_s)
  return { batch: { plan, vessel, beer, program, context: sentenceContext(plan, vessel, units) }, findings }
}
