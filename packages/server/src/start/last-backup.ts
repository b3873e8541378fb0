import type { Store } from '../store/store.ts'

const DOCUMENT = 'backup.latest'

/** Called when a backup is complete, by whoever made it. */
export function noteBackup(store: Pick<Store, 'putDocument'>, at_ms: number): void {
  try {
    store.putDocument(DOCUMENT, JSON.stringify({ at_ms }))
  } catch {
    // The records may be failing, which is when a backup is wanted most.
  }
}

/** null: none is known of. */
export function lastBackupAt_ms(store: Pick<Store, 'getDocument'>): number | null {
  const text = store.getDocument(DOCUMENT)
  return text === null ? null : (JSON.parse(text) as { readonly at_ms: number }).at_ms
}
