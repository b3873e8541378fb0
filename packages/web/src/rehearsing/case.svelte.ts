/**
 * What is being rehearsed: the texts of a plan, a vessel and a beer, what they say when they are read, and how the
 * rehearsal of them goes. The texts are the one truth: the editor, the list of stages and the sliders all change them by
 * `setPlan`, `setVessel` and `setBeer`, and each change has the case rehearsed anew.
 */
import type { Beer } from '@attemper/core/beer/beer.ts'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import type { Finding } from '@attemper/core/finding.ts'
import type { Plan } from '@attemper/core/plan/plan.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { proofRead } from '@attemper/core/proof/proof-read.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { preferences } from '../state/preferences.svelte.ts'
import type { Progress } from './rehearser.ts'
import { rehearserHere } from './rehearser-here.ts'

/** The three texts; findings name them as their files. */
export type Part = 'plan' | 'vessel' | 'beer'

export interface CaseTexts {
  readonly plan: string
  readonly vessel: string
  readonly beer: string
}

/** A rehearsal that others are held against: how it was, and the texts that it was of. */
export interface Before {
  readonly progress: Progress
  readonly texts: CaseTexts
}

const RUNS = 200
const SEED = 1
/** Who types fast does not want each letter rehearsed. */
const REST_ms = 30
/** From a single keystroke to what the browser has drawn of it; `performance.getEntriesByType('measure')` has them all. */
const MEASURES = { first: 'first picture after a change', all: 'all runs after a change' } as const

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
  readonly errors = $derived(this.findings.filter(({ severity }) => severity === 'error'))

  /** The newest picture. While the texts have errors, and until the first runs of a change are there: the one before. */
  progress = $state.raw<Progress | null>(null)
  /** Whether that picture is of the texts as they stand now. */
  isCurrent = $state(false)
  /** Why it can not be rehearsed although nothing is wrong with the texts; null: it can. */
  failure = $state<string | null>(null)
  /** What the picture is compared with; null: with nothing. */
  before = $state.raw<Before | null>(null)

  #timer: ReturnType<typeof setTimeout> | undefined

  constructor(texts: CaseTexts) {
    this.planText = texts.plan
    this.vesselText = texts.vessel
    this.beerText = texts.beer
    this.#changed()
  }

  get texts(): CaseTexts {
    return { plan: this.planText, vessel: this.vesselText, beer: this.beerText }
  }

  findingsOf(part: Part): readonly Finding[] {
    return this.findings.filter(({ file }) => file === part)
  }

  get hasErrors(): boolean {
    return this.errors.length > 0
  }

  setPlan(text: string): void {
    if (text === this.planText) return
    this.planText = text
    this.#changed()
  }

  setVessel(text: string): void {
    if (text === this.vesselText) return
    this.vesselText = text
    this.#changed()
  }

  setBeer(text: string): void {
    if (text === this.beerText) return
    this.beerText = text
    this.#changed()
  }

  /** From now on, pictures are held against the one that stands now. Does nothing when there is such a one already. */
  compareFromNow(): void {
    if (this.before !== null || this.progress === null || !this.isCurrent) return
    this.before = { progress: this.progress, texts: this.texts }
  }

  /** The change is taken as it is. */
  endComparison(): void {
    this.before = null
  }

  /** Vessel and beer are again as they were before the comparison began; what was written in the plan stays. */
  putBack(): void {
    const { before } = this
    this.before = null
    if (before === null) return
    this.setVessel(before.texts.vessel)
    this.setBeer(before.texts.beer)
  }

  /** One of the runs of the picture with all its events; null: the texts have been changed meanwhile. */
  showRun(run: number): Promise<RunRecord | null> {
    return this.isCurrent
      ? rehearserHere().show({ kind: 'show run', run })
      : Promise.resolve(this.progress?.records.find(record => record.run === run) ?? null)
  }

  /** The run that a drill was judged by; null: it does not apply, or the texts have been changed meanwhile. */
  showDrill(name: string): Promise<RunRecord | null> {
    const drill = this.progress?.drills?.find(each => each.name === name)
    if (drill === undefined || !this.isCurrent) return Promise.resolve(null)
    return rehearserHere().show({ kind: 'show drill', drill })
  }

  /** Nobody looks any more. */
  leave(): void {
    clearTimeout(this.#timer)
    rehearserHere().stop()
  }

  #changed(): void {
    const changed_ms = performance.now()
    this.isCurrent = false
    this.failure = null
    // At once, so that the workers are free when the texts have come to rest.
    rehearserHere().stop()
    clearTimeout(this.#timer)
    this.#timer = setTimeout(() => this.#rehearse(changed_ms), REST_ms)
  }

  #rehearse(changed_ms: number): void {
    const { plan, vessel, beer } = this
    if (plan === null || vessel === null || beer === null || this.hasErrors) return
    const measure = (name: string) =>
      requestAnimationFrame(() => performance.measure(name, { start: changed_ms }))
    let drawn = 0
    try {
      rehearserHere().rehearse(prepare(plan, vessel, beer, { seed: SEED }), RUNS, {
        show: progress => {
          const { length } = progress.records
          if (drawn === 0) measure(MEASURES.first)
          if (drawn <= RUNS && length > RUNS) measure(MEASURES.all)
          drawn = length
          this.progress = progress
          this.isCurrent = true
        },
        fail: why => this.#failed(why),
      })
    } catch (error) {
      this.#failed(error instanceof Error ? error.message : String(error))
    }
  }

  #failed(why: string): void {
    this.failure = why
    rehearserHere().stop()
  }
}
