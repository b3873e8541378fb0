import type { AuditEntry, Store } from '../../store/store.ts'

/** The small part of a store that alarms and notices need, in memory. What was put survives "restarts" of the parts. */
export class PaperStore implements Pick<Store, 'getDocument' | 'putDocument' | 'appendAudit'> {
  readonly documents = new Map<string, string>()
  readonly entries: AuditEntry[] = []
  writes = 0
  isFull = false

  getDocument(name: string): string | null {
    return this.documents.get(name) ?? null
  }

  putDocument(name: string, text: string): void {
    if (this.isFull) throw new Error('no space left on device')
    this.writes++
    this.documents.set(name, text)
  }

  appendAudit(entry: AuditEntry): void {
    if (this.isFull) throw new Error('no space left on device')
    this.entries.push(entry)
  }
}
