export type AlarmErrorCode =
  | 'unknown-alarm'
  | 'alarm-shelved'
  | 'alarm-not-shelved'
  | 'wrong-value'
  | 'storage'

/** Something that can not be done with an alarm; `message` says why and what would be right. */
export class AlarmError extends Error {
  readonly code: AlarmErrorCode

  constructor(code: AlarmErrorCode, message: string) {
    super(message)
    this.code = code
  }
}
