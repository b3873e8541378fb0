import { CELLAR_TOPIC, commandTopic, packTopic, readTopic, refusedTopic } from './topics.ts'

/** Who a client is, and what it may do. A float's password can not switch a heater, nor speak for another vessel. */
export type Permission = { readonly name: string } & (
  | { readonly kind: 'readings'; readonly vessel: string }
  | { readonly kind: 'appliance'; readonly vessel: string }
  | { readonly kind: 'view' }
  | { readonly kind: 'all' }
)

/** What has to be known of the vessels to judge a topic. */
export interface TopicLook {
  /** Whether the client's vessel listens to a topic outside of ours. */
  isOwn(topic: string): boolean
  /** The vessel that a name in a topic stands for; undefined: none, or it can not be told which. */
  meant(written: string): string | undefined
}

/** Why it may not publish there; null: it may. */
export function refusePublish(who: Permission, topic: string, look: TopicLook): string | null {
  const read = readTopic(topic)
  if (read.kind === 'cellar only') return `only the cellar itself speaks on ${topic}`
  if (who.kind === 'all') return null
  if (read.kind === 'report') {
    return who.kind === 'appliance' && (look.meant(read.vessel) ?? read.vessel) === who.vessel
      ? null
      : `only the appliances of ${read.vessel} report there`
  }
  if (who.kind !== 'readings') return `${who.name} may listen, not publish`
  if (read.kind === 'foreign') {
    return look.isOwn(topic) ? null : `${who.name} may publish readings of ${who.vessel} only`
  }
  const { vessel } = read
  return vessel !== null && (look.meant(vessel) ?? vessel) === who.vessel
    ? null
    : `${who.name} may publish readings of ${who.vessel} only`
}

export function maySubscribe(who: Permission, filter: string): boolean {
  if (who.kind === 'all' || who.kind === 'view') return true
  if (filter === CELLAR_TOPIC) return true
  if (filter === refusedTopic(who.vessel) || filter === packTopic(who.vessel)) return true
  return (
    who.kind === 'appliance' &&
    ['heater', 'cooler', 'thermostat', '+', '#'].some(last => filter === commandTopic(who.vessel, last))
  )
}
