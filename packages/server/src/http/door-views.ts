import type { HeardMessages } from '../doors/heard-messages.ts'
import type { FoundProbe } from '../doors/kernel/find-probes.ts'
import type { Trial, TriedMapping } from '../doors/try-mapping.ts'

/** What may be seen of the doors by somebody who joins an instrument to a vessel; main.ts joins it. */
export interface DoorViews {
  readonly heard: HeardMessages
  readonly tryMapping: (trial: Trial) => TriedMapping
  /** What the kernel shows now. */
  readonly findProbes: () => Promise<readonly FoundProbe[]>
}
