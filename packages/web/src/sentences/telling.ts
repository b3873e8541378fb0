import { batchSentence } from '@attemper/core/batch/batch-sentence.ts'
import { type BatchTelling, tellingOf } from '@attemper/core/batch/telling.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { wholeQuantities } from '@attemper/core/units/whole-quantities.ts'
import type { Batch, View } from '@attemper/server/http/published.ts'

/** Reading three texts takes some milliseconds, and a view comes with each reading: the last answer for a batch is kept. */
const kept = new Map<string, { readonly key: string; readonly telling: BatchTelling | null }>()

/** What is needed to tell about a batch in the brewer's units; null: its texts can not be read by this version. */
export function tellingFor(batch: Batch, units: DisplayUnits): BatchTelling | null {
  const key = `${units.temperature}${units.gravity}${units.volume}${units.clock}\n${batch.planText}`
  const known = kept.get(batch.id)
  if (known?.key === key) return known.telling
  const telling = tellingOf(batch, units)
  kept.set(batch.id, { key, telling })
  return telling
}

/** How a batch is doing, in the brewer's units. */
export function sentenceFor(
  view: View,
  units: DisplayUnits,
  { asItWas = false }: { readonly asItWas?: boolean } = {},
): string {
  const telling = tellingFor(view.batch, units)
  if (telling === null) return wholeQuantities(view.sentence)
  const { program, context } = telling.case
  const now_s = Math.floor(view.now_ms / 1000)
  const { batch, state, doubts, ending } = view
  const parts = { name: batch.name, state, program, context, now_s, doubts, ending, asItWas }
  return wholeQuantities(batchSentence(parts))
}
