import type { Finding } from '@attemper/core/finding.ts'
import type { JsonSchema } from '@attemper/core/source-text/shape.ts'
import type { DoorAddresses } from '../doors/door-addresses.ts'
import type { HeardMessages } from '../doors/heard-messages.ts'
import type { FoundProbe } from '../doors/kernel/find-probes.ts'
import type { Trial, TriedMapping } from '../doors/try-mapping.ts'
import type { VesselRecord } from '../store/store.ts'

/** What may be seen of the doors by somebody who joins an instrument to a vessel; main.ts joins it. */
export interface DoorViews {
  readonly heard: HeardMessages
  readonly tryMapping: (trial: Trial) => TriedMapping
  /** What the kernel shows now. */
  readonly findProbes: () => Promise<readonly FoundProbe[]>
  /** What is wrong with a vessel and its doors in this cellar, beyond what the reader of the vessel file says. */
  readonly check: (text: string, doors: string) => readonly Finding[]
  /** Of such a text. */
  readonly schema: JsonSchema
  /** Where devices send readings of a vessel. */
  readonly addresses: (vessel: VesselRecord) => DoorAddresses
}
