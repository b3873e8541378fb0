import type { Priority } from '@attemper/core/alarms/catalogue.ts'
import type { AlarmChange } from '../alarms/alarm-change.ts'
import { endOfQuiet } from './quiet-hours.ts'
import type { NotifySettings, Recipient } from './settings.ts'

export interface Route {
  readonly recipient: Recipient
  readonly due_ms: number
}

/** What a change means for those who are told: something new, that it is over, that it need not be told any more. */
export type Meaning = 'raised' | 'over' | 'seen' | 'nothing'

export function meaningOf({ change, by }: Pick<AlarmChange, 'change' | 'by'>): Meaning {
  switch (change) {
    case 'raised':
      return 'raised'
    case 'unshelved':
      // Who takes it off the shelf knows of it.
      return by === null ? 'raised' : 'nothing'
    case 'returned':
      return 'over'
    case 'cleared':
      return by === null ? 'over' : 'seen'
    case 'acknowledged':
    case 'shelved':
      return 'seen'
  }
}

const RANK: Readonly<Record<Priority, number>> = { low: 0, medium: 1, high: 2 }

/** Whom to tell of a change, and from when on. Only a new alarm of high priority breaks into quiet hours. */
export function routesFor(
  { alarm }: AlarmChange,
  meaning: 'raised' | 'over',
  settings: NotifySettings,
  now_ms: number,
  localOffset_s: number,
): readonly Route[] {
  const { code, subject, priority } = alarm
  const passes = meaning === 'raised' && priority === 'high'
  const routes = settings.tell
    .filter(({ channel, fromPriority, whenOver }) => {
      if (meaning === 'over' && !whenOver) return false
      // A channel can not tell that it fails itself, and whoever relies on another one must hear of it.
      if (code === 'channel-failed') return channel !== subject
      return RANK[priority] >= RANK[fromPriority]
    })
    .map(recipient => {
      const local_s = now_ms / 1000 + localOffset_s
      const wait_s = passes ? 0 : endOfQuiet(recipient.quiet, local_s) - local_s
      return { recipient, due_ms: now_ms + wait_s * 1000 }
    })
  return onePerPlace(routes)
}

/** Who stands there twice, or shares a webhook with others, is told once: as early as any of them. */
function onePerPlace(routes: readonly Route[]): readonly Route[] {
  const earliest = new Map<string, Route>()
  for (const route of routes.toSorted((a, b) => a.due_ms - b.due_ms)) {
    const place = JSON.stringify([route.recipient.channel, route.recipient.to])
    if (!earliest.has(place)) earliest.set(place, route)
  }
  return [...earliest.values()]
}
