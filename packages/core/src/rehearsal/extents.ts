import type { RiskCode } from './result.ts'

interface Extent {
  extent: number
  at_s: number
  /** How much of it fell into each stage. */
  readonly byStage: Map<number, number>
}

/** How much of each kind of harm a run has suffered so far, since when, and in which stage the most of it. */
export class Extents {
  readonly #extents = new Map<RiskCode, Extent>()

  /** Harm that adds up: hours, changes, degree-hours. */
  add(code: RiskCode, amount: number, stage: number, at_s: number): void {
    const found = this.#found(code, at_s)
    found.extent += amount
    found.byStage.set(stage, (found.byStage.get(stage) ?? 0) + amount)
  }

  /** Harm of which the worst moment counts: degrees beyond a limit, points left. */
  most(code: RiskCode, extent: number, stage: number, at_s: number): void {
    if (!(extent > 0)) return
    const found = this.#found(code, at_s)
    if (extent <= found.extent) return
    found.extent = extent
    found.at_s = at_s
    found.byStage.clear()
    found.byStage.set(stage, extent)
  }

  /** Turns a sum into a rate: per day, per run. */
  divide(code: RiskCode, by: number): void {
    const found = this.#extents.get(code)
    if (found) found.extent /= by
  }

  get(code: RiskCode): { readonly extent: number; readonly at_s: number; readonly stage: number } | null {
    const found = this.#extents.get(code)
    if (!found) return null
    let stage = -1
    for (const [each, amount] of found.byStage) if (amount > (found.byStage.get(stage) ?? 0)) stage = each
    return { extent: found.extent, at_s: found.at_s, stage }
  }

  #found(code: RiskCode, at_s: number): Extent {
    let found = this.#extents.get(code)
    if (!found) {
      found = { extent: 0, at_s, byStage: new Map() }
      this.#extents.set(code, found)
    }
    return found
  }
}
