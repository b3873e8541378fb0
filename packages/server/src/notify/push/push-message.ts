import type { Message } from '../message.ts'

/** What the service worker of the screens gets with a push, after the browser has decrypted it. `subject` is its heading. */
export interface PushMessage
  extends Pick<Message, 'kind' | 'priority' | 'at_ms' | 'subject' | 'text' | 'batch' | 'link'> {
  /** The same when the same message is sent again. */
  readonly id: string
  /** The id of the alarm; the same for its end. null: it is a test. */
  readonly alarm: number | null
}
