export type StoreErrorCode =
  /** No space is left. Nothing of what was asked for was stored; works again when there is space. */
  | 'disk-full'
  /** The disk or the file system refused to read or write. */
  | 'io'
  /** What is in the database can not be right. */
  | 'corrupt'
  /** The files of the database have been removed or replaced while they were open. */
  | 'gone'
  /** The database was written by a newer Attemper. */
  | 'newer-version'
  /** Another program keeps the database locked. */
  | 'busy'
  /** The store has been closed. */
  | 'closed'
  /** There is no batch of this name. */
  | 'unknown'
  /** There is already a batch of this name. */
  | 'duplicate'

/** Something that could not be stored or read; `message` says what, where, and what would be right. */
export class StoreError extends Error {
  readonly code: StoreErrorCode

  constructor(code: StoreErrorCode, message: string, options?: ErrorOptions) {
    super(message, options)
    this.name = 'StoreError'
    this.code = code
  }
}
