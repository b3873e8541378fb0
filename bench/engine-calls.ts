import { advance } from '@attemper/core/engine/advance.ts'
import type { Command, Inputs, ReadingInput } from '@attemper/core/engine/contract.ts'
import { initialState } from '@attemper/core/engine/initial.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import { World } from '@attemper/core/world/world.ts'
import { driveRun } from './one-run.ts'
import { median, timeOf_ms } from './timing.ts'

const WARM_UP = 20
const REPEATS = 40

/** The calls of one run again, with the readings that they had, without the world: ns per call. */
export function engineCall_ns(setup: Setup, run: number): number {
  const { program } = setup
  const inputs = recordInputs(setup, run)
  const again = () => {
    let state = initialState(program)
    for (const each of inputs) ({ state } = advance(program, state, each))
  }
  for (let n = 0; n < WARM_UP; n++) again()
  const times_ms = Array.from({ length: REPEATS }, () => timeOf_ms(again))
  return (median(times_ms) * 1e6) / inputs.length
}

function recordInputs(setup: Setup, run: number): readonly Inputs[] {
  const inputs: Inputs[] = []
  let skipped: readonly ReadingInput[] = []
  class RecordingWorld extends World {
    override skipped(): ReadingInput[] {
      const readings = super.skipped()
      skipped = readings
      return readings
    }
    override readingsAt(now_s: number): ReadingInput[] {
      const readings = super.readingsAt(now_s)
      const edits = inputs.length === 0 ? [{ kind: 'start' } as const] : []
      inputs.push({ now_s, readings: [...skipped, ...readings], answers: [], edits })
      return readings
    }
    // Renewing a lease takes no call, but the calls after it need it.
    override renew(commands: readonly Command[]): void {
      super.renew(commands)
      inputs.push({ now_s: this.now_s, readings: [], answers: [], edits: [] })
    }
  }
  driveRun(setup, run, { World: RecordingWorld })
  return inputs
}
