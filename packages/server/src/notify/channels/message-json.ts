import type { Message } from '../message.ts'

/** A message as programs get it, by webhook and MQTT (docs/reference/alarms.md). */
export function messageJson(message: Message, id: string, sent_ms: number): string {
  const { kind, priority, at_ms, subject, text, alarm, vessel, batch, link } = message
  return JSON.stringify({
    id,
    kind,
    priority,
    at: new Date(at_ms).toISOString(),
    sent_at: new Date(sent_ms).toISOString(),
    subject,
    text,
    alarm,
    vessel,
    batch,
    link,
  })
}
