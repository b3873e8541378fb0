/**
 * What is being rehearsed: the texts of a plan, a vessel and a beer, and what they say when they are read. The texts are
 * the one truth: the editor, the list of stages and the sliders all change them by `setPlan`, `setVessel` and `setBeer`.
 */
import type { Beer } from '@attemper/core/beer/beer.ts'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import type { Finding } from '@attemper/core/finding.ts'
import type { Plan } from '@attemper/core/plan/plan.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { proofRead } from '@attemper/core/proof/proof-read.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { preferences } from '../state/preferences.svelte.ts'

/** The three texts; findings name them as their files. */
export type Part = 'plan' | 'vessel' | 'beer'

export interface CaseTexts {
  readonly plan: string
  readonly vessel: string
  readonly beer: string
}

export class RehearsalCase {
  planText = $state('')
  vesselText = $state('')
  beerText = $state('')

  readonly #planRead = $derived(readPlan(this.planText, 'plan'))
  readonly #vesselRead = $derived(readVessel(this.vesselText, 'vessel'))
  readonly #beerRead = $derived(readBeer(this.beerText, 'beer'))

  /** null: its text has errors. */
  readonly plan: Plan | null = $derived(this.#planRead.plan)
  readonly vessel: Vessel | null = $derived(this.#vesselRead.vessel)
  readonly beer: Beer | null = $derived(this.#beerRead.beer)

  /** What the readers found, then what the proof-reader found in what could be read. */
  readonly findings: readonly Finding[] = $derived.by(() => {
    const { plan, vessel, beer } = this
    const read = [...this.#planRead.findings, ...this.#vesselRead.findings, ...this.#beerRead.findings]
    if (plan === null) return read
    const proof = proofRead({
      plan,
      planFile: 'plan',
      vessel: vessel ?? undefined,
      vesselFile: 'vessel',
      beer: beer ?? undefined,
      beerFile: 'beer',
      units: preferences.units,
    })
    return [...read, ...proof]
  })

  constructor(texts: CaseTexts) {
    this.planText = texts.plan
    this.vesselText = texts.vessel
    this.beerText = texts.beer
  }

  findingsOf(part: Part): readonly Finding[] {
    return this.findings.filter(({ file }) => file === part)
  }

  get hasErrors(): boolean {
    return this.findings.some(({ severity }) => severity === 'error')
  }

  setPlan(text: string): void {
    this.planText = text
  }

  setVessel(text: string): void {
    this.vesselText = text
  }

  setBeer(text: string): void {
    this.beerText = text
  }
}
