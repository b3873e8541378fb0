import { INPUTS } from './network.ts'
import type { StepTable } from './step-table.ts'
import { Stretch } from './stretch.ts'

/**
 * The heat of the world at one moment. It moves from event to event: the grid, a switching, a change of inputs. Where a
 * caller looks in between leaves no trace, so a simulator that jumps and one that looks at every second see the same world.
 */
export class Anchor {
  /** The stretch that begins at the anchor, and the one that ended there. */
  #present: Stretch
  #before: Stretch

  constructor(at_s: number, table: StepTable, state: Float64Array, inputs: Float64Array) {
    this.#present = new Stretch(state.length, at_s, table)
    this.#present.state.set(state)
    this.#present.inputs.set(inputs)
    this.#before = new Stretch(state.length, at_s, table)
  }

  get present(): Stretch {
    return this.#present
  }

  get at_s(): number {
    return this.#present.at_s
  }

  get state(): Float64Array {
    return this.#present.state
  }

  /** Constant during a stretch; write them only at the anchor, and call `changed` then. */
  get inputs(): Float64Array {
    return this.#present.inputs
  }

  changed(table: StepTable): void {
    this.#present.restart(table)
  }

  /** Value of a node or follower, from the anchor before this one up to the next event. */
  valueAt(row: number, t_s: number): number {
    const { at_s } = this.#present
    return t_s >= at_s
      ? this.#present.value(row, t_s - at_s)
      : this.#before.value(row, t_s - this.#before.at_s)
  }

  /** Puts the anchor later. */
  move(seconds: number): void {
    if (seconds === 0) return
    const from = this.#present
    const to = this.#before
    from.stateAfter(seconds, to.state)
    for (let u = 0; u < INPUTS; u++) to.inputs[u] = from.inputs[u]!
    to.at_s = from.at_s + seconds
    to.restart(from.table)
    this.#present = to
    this.#before = from
  }
}
