import { batchSentence } from '@attemper/core/batch/batch-sentence.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import { readyTelling } from './batch-telling.ts'

/** The sentence about a batch, in the units that the brewer reads. */
export function sentenceOf(
  { batch, state, now_ms, doubts, ending }: BatchView,
  units: DisplayUnits,
  { asItWas = false }: { readonly asItWas?: boolean } = {},
): string {
  const { program, context } = readyTelling(batch, units).case
  const now_s = Math.floor(now_ms / 1000)
  return batchSentence({ name: batch.name, state, program, context, now_s, doubts, ending, asItWas })
}
