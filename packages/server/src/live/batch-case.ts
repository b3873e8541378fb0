import type { Beer } from '@attemper/core/beer/beer.ts'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { compile } from '@attemper/core/engine/compile.ts'
import type { Program } from '@attemper/core/engine/program.ts'
import type { Finding } from '@attemper/core/finding.ts'
import type { Plan } from '@attemper/core/plan/plan.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { sayReasons } from '@attemper/core/plan/reasons.ts'
import type { SentenceContext } from '@attemper/core/report/sentences/context.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { silenceAllowed_s } from '@attemper/core/vessel/timeout.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'

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
export function readCase(texts: BatchTexts): {
  readonly batch: BatchCase | null
  readonly findings: readonly Finding[]
} {
  const { plan, findings: inPlan } = readPlan(texts.planText, FILES.plan)
  const { vessel, findings: inVessel } = readVessel(texts.vesselText, FILES.vessel)
  const { beer, findings: inBeer } = readBeer(texts.beerText, FILES.beer)
  const findings = [...inPlan, ...inVessel, ...inBeer]
  if (plan === null || vessel === null || beer === null) return { batch: null, findings }
  const program = compile(plan, vessel, beer, texts.localOffset_s)
  return { batch: { plan, vessel, beer, program, context: contextOf(plan, vessel) }, findings }
}

function contextOf(plan: Plan, vessel: Vessel): SentenceContext {
  return {
    units: USUAL_UNITS,
    plan,
    reasons: sayReasons(plan, USUAL_UNITS),
    silenceAllowed_s: Object.fromEntries(
      vessel.instruments.map(instrument => [instrument.name, silenceAllowed_s(instrument)]),
    ),
    unitOf: Object.fromEntries(
      vessel.instruments.flatMap(({ channels }) => channels.map(({ quantity, unit }) => [quantity, unit])),
    ),
  }
}
