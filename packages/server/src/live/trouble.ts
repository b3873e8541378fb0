/** What goes wrong in the machinery itself, apart from what the engine says about a batch. */
export type TroubleCode =
  /** Something could not be written to the records; `storage-back`: it can again, and what was missing has been added. */
  | 'storage'
  | 'storage-back'
  /** A command could not be handed to an appliance; `door-back`: one could again. */
  | 'door'
  | 'door-back'
  /** The machine's clock was put back, or shows a time before what the records hold. */
  | 'clock'
  /** The engine itself has failed on a batch: a fault of this software. */
  | 'engine'
  /** A batch in the records can not be taken up. */
  | 'not-resumed'
  /** Somebody who listens to changes has thrown an error. */
  | 'listener'

/** Told at once; must not throw. `batch`: which batch it is about, null when it is about all. */
export type OnTrouble = (code: TroubleCode, message: string, batch: string | null) => void

export function reasonOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error)
}
