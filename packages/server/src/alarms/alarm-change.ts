import type { Alarm, AlarmNotice } from '@attemper/core/alarms/alarms.ts'
import type { Priority } from '@attemper/core/alarms/catalogue.ts'

/** What the alarms are told about a batch: enough for a message to say where to go. */
export interface AlarmPlace {
  readonly batch: string
  readonly vessel: string
  /** Of the beer. */
  readonly name: string
}

/** An alarm that has been raised, with all that a list or a message says about it. Contract between alarms/, notify/ and http/. */
export interface KeptAlarm extends Alarm {
  /** Counts from 1 over the whole cellar; never given twice. */
  readonly id: number
  /** null: it is about the cellar itself. */
  readonly place: AlarmPlace | null
  readonly priority: Priority
  /** What is so, as one sentence without its place. */
  readonly sentence: string
  readonly reason: string
  readonly instruction: string
  /** The alarm of the same batch that explains it, by its id; null: it stands for itself. One cause is one card. */
  readonly cause: number | null
  /** Who has seen it, and when, s; null: nobody yet. */
  readonly seenBy: string | null
  readonly seenAt_s: number | null
}

export interface AlarmChange {
  readonly at_s: number
  readonly change: AlarmNotice['change']
  readonly alarm: KeptAlarm
  /** Who did it; null: it happened by itself. */
  readonly by: string | null
}
