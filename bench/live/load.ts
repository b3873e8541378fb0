/** What a load of readings on a door came to. */
export interface Loaded {
  /** Readings that were acknowledged in all. */
  readonly acknowledged: number
  /** Readings that were acknowledged in each second of the time that was measured. */
  readonly perSecond: number
  /** From sending to the acknowledgement, ms. */
  readonly half_ms: number
  readonly most_ms: number
  /** Processor time of the cellar for one reading, µs. */
  readonly processor_us: number
}

export interface Measured {
  readonly warmUp_ms: number
  readonly measured_ms: number
}

/** Counts acknowledgements, and those in the time that is measured. */
export class Acknowledgements {
  readonly #from_ms: number
  readonly #to_ms: number
  readonly #waits_ms: number[] = []
  #all = 0
  #counted = 0

  constructor({ warmUp_ms, measured_ms }: Measured) {
    this.#from_ms = performance.now() + warmUp_ms
    this.#to_ms = this.#from_ms + measured_ms
  }

  get isOver(): boolean {
    return performance.now() >= this.#to_ms
  }

  take(readings: number, sent_ms: number): void {
    const now_ms = performance.now()
    this.#all += readings
    if (now_ms < this.#from_ms || now_ms >= this.#to_ms) return
    this.#counted += readings
    this.#waits_ms.push(now_ms - sent_ms)
  }

  /** `processor_s`: of the cellar, in the time that was measured. */
  loaded(processor_s: number): Loaded {
    if (this.#counted === 0) throw new Error('nothing was acknowledged in the time that was measured')
    const waits_ms = Float64Array.from(this.#waits_ms).sort()
    const at = (share: number) => waits_ms[Math.floor(share * (waits_ms.length - 1))] ?? Number.NaN
    return {
      acknowledged: this.#all,
      perSecond: this.#counted / ((this.#to_ms - this.#from_ms) / 1000),
      half_ms: at(0.5),
      most_ms: at(0.99),
      processor_us: (1e6 * processor_s) / this.#counted,
    }
  }
}

/** Runs a load, and takes the processor time of the cellar in the middle of it. */
export async function measureLoad(
  { warmUp_ms, measured_ms }: Measured,
  processorTime_s: () => Promise<number>,
  load: (acknowledgements: Acknowledgements) => Promise<void>,
): Promise<Loaded> {
  const acknowledgements = new Acknowledgements({ warmUp_ms, measured_ms })
  const running = load(acknowledgements)
  const after = (wait_ms: number) => new Promise(resolve => setTimeout(resolve, wait_ms))
  const spent = (async () => {
    await after(warmUp_ms)
    const before_s = await processorTime_s()
    await after(measured_ms)
    return (await processorTime_s()) - before_s
  })()
  await running
  return acknowledgements.loaded(await spent)
}

/** A figure is void when a reading that was acknowledged is not in the records. */
export function requireAll(acknowledged: number, kept: number): void {
  if (acknowledged !== kept)
    throw new Error(`${acknowledged} readings were acknowledged, but ${kept} are in the records`)
}
