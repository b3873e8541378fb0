import { type AlarmCode, alarmKind } from '@attemper/core/alarms/catalogue.ts'
import { alarmSentence } from '@attemper/core/alarms/say-alarm.ts'
import type { AlarmChange, KeptAlarm } from '../../alarms/alarm-change.ts'

/** 24 November 2026, 20:00 UTC. */
export const EVENING_MS = Date.UTC(2026, 10, 24, 20)

export function keptAlarm(code: AlarmCode, part: Partial<KeptAlarm> = {}): KeptAlarm {
  const { priority, reason, instruction } = alarmKind(code)
  const subject = part.subject ?? (code === 'limit-broken' ? 'highest' : '')
  return {
    id: 1,
    code,
    subject,
    state: 'active',
    since_s: EVENING_MS / 1000,
    awaySince_s: null,
    raisedAt_s: EVENING_MS / 1000,
    shelvedUntil_s: null,
    place: { batch: '2026-11-20-amber', vessel: 'Garage', name: 'Amber' },
    priority,
    sentence: alarmSentence({ code, subject, ...(part.detail === undefined ? {} : { detail: part.detail }) }),
    reason,
    instruction,
    cause: null,
    seenBy: null,
    seenAt_s: null,
    ...part,
  }
}

export function alarmChange(
  change: AlarmChange['change'],
  code: AlarmCode,
  part: Partial<KeptAlarm> = {},
  by: string | null = null,
): AlarmChange {
  return { at_s: EVENING_MS / 1000, change, alarm: keptAlarm(code, part), by }
}
