import { slugOf } from '../slug.ts'

/** What a topic of ours is about. Names are as they were written: full, or as slugs. */
export type Topic =
  | {
      readonly kind: 'value'
      readonly vessel: string
      readonly instrument: string
      readonly quantity: string
    }
  | { readonly kind: 'pack'; readonly vessel: string }
  /** What an appliance says of itself. */
  | { readonly kind: 'report'; readonly vessel: string; readonly appliance: string }
  /** Only the cellar speaks here: commands, refusals, its own state. */
  | { readonly kind: 'cellar only' }
  | { readonly kind: 'wrong'; readonly vessel: string | null }
  /** Not below attemper/. */
  | { readonly kind: 'foreign' }

/** All topics of ours stand below it. */
export const ROOT = 'attemper'
const REPORT = 'report'
export const CELLAR_TOPIC = `${ROOT}/cellar`

/** A device speaks on the same topics all its life, and each message is asked about a few times on its way. */
const READ_TOPICS = new Map<string, Topic>()
const MOST_REMEMBERED = 2000
const LONGEST_REMEMBERED = 200

export function readTopic(topic: string): Topic {
  const known = READ_TOPICS.get(topic)
  if (known !== undefined) return known
  const read = takeApart(topic)
  if (READ_TOPICS.size >= MOST_REMEMBERED) READ_TOPICS.clear()
  if (topic.length <= LONGEST_REMEMBERED) READ_TOPICS.set(topic, read)
  return read
}

function takeApart(topic: string): Topic {
  const [root, vessel, second, third, ...rest] = topic.split('/')
  if (root !== ROOT) return { kind: 'foreign' }
  if (vessel && second === 'appliance' && third && rest.length === 1 && rest[0] === REPORT) {
    return { kind: 'report', vessel, appliance: third }
  }
  if (
    topic === CELLAR_TOPIC ||
    topic === refusedTopic(null) ||
    second === 'appliance' ||
    second === 'refused'
  ) {
    return { kind: 'cellar only' }
  }
  if (!vessel || !second || rest.length > 0) return { kind: 'wrong', vessel: vessel || null }
  if (third === undefined) return second === 'senml' ? { kind: 'pack', vessel } : { kind: 'wrong', vessel }
  return third === ''
    ? { kind: 'wrong', vessel }
    : { kind: 'value', vessel, instrument: second, quantity: third }
}

export function valueTopic(vessel: string, instrument: string, quantity: string): string {
  return `${ROOT}/${slugOf(vessel)}/${slugOf(instrument)}/${slugOf(quantity)}`
}

export function packTopic(vessel: string): string {
  return `${ROOT}/${slugOf(vessel)}/senml`
}

export function commandTopic(vessel: string, appliance: string): string {
  return `${ROOT}/${slugOf(vessel)}/appliance/${appliance}`
}

/** Where an appliance says what it does. */
export function reportTopic(vessel: string, appliance: string): string {
  return `${commandTopic(vessel, appliance)}/${REPORT}`
}

/** Without a vessel: what could not be told to belong to one. */
export function refusedTopic(vessel: string | null): string {
  return vessel === null ? `${ROOT}/refused` : `${ROOT}/${slugOf(vessel)}/refused`
}

/** All topics on which appliances report. */
export const REPORT_FILTER = `${ROOT}/+/appliance/+/${REPORT}`

/** All topics of ours that carry readings. */
export const READING_FILTERS = [`${ROOT}/+/+/+`, `${ROOT}/+/senml`] as const
