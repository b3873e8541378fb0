import type { ApplianceName } from '../engine/events.ts'

/**
 * What is known of one appliance's obedience: it is one thing to tell a heater 'on', and another that it is on. News come in
 * (a command, the answer of its door, who listens, what it reports by itself) and `linkAt` says how it stands. Pure, as the
 * engine is; times are seconds since 1970-01-01T00:00 UTC.
 */

/** A switch: on or off. A thermostat: its target in °C, null is off. */
export type Order = boolean | number | null

/** How an appliance has confirmed what it was told, the strongest first. */
export type ConfirmedBy =
  /** It has reported by itself what it does. */
  | 'report'
  /** Its door wrote it there and was told, or read back, that it is so. */
  | 'answer'
  /** It has taken the message (MQTT, QoS 1). */
  | 'receipt'
  /** It was connected and listening when the message went out. */
  | 'listening'

/** Why it is not confirmed. */
export type LinkProblem =
  | { readonly kind: 'nobody listens'; readonly where: string }
  /** It has taken the command, or should have, and says nothing. */
  | { readonly kind: 'no confirmation' }
  /** It used to report by itself and does no longer. */
  | { readonly kind: 'silent' }
  /** What its door met with, in the words of that machine. */
  | { readonly kind: 'door'; readonly said: string }
  /** It reports that it does something else than it was told. */
  | { readonly kind: 'does other'; readonly order: Order }
  /** It obeys somebody with a higher fencing number. */
  | { readonly kind: 'obeys another' }
  /** The cellar was started since then, and has heard nothing of it yet. */
  | { readonly kind: 'not told yet' }

export interface ApplianceLink {
  readonly appliance: ApplianceName
  /**
   * told: it may still confirm; refused: it has answered that it does something else; unheard: it is not there; unknown:
   * its broker does not say who listens, and it does not report.
   */
  readonly state: 'told' | 'confirmed' | 'refused' | 'unheard' | 'unknown'
  /** Since when that is so. For what is not confirmed: since the first command that it left unconfirmed. */
  readonly since_s: number
  /** What it was told last; undefined in JSON is left out, so null with `told_s` null: nothing yet. */
  readonly order: Order
  readonly told_s: number | null
  readonly confirmedAt_s: number | null
  readonly by: ConfirmedBy | null
  readonly problem: LinkProblem | null
}

export type LinkNews = { readonly at_s: number } & (
  | { readonly kind: 'told'; readonly order: Order; readonly fence: number }
  | { readonly kind: 'confirmed'; readonly fence: number; readonly by: ConfirmedBy }
  | { readonly kind: 'refused'; readonly fence: number; readonly problem: LinkProblem }
  | { readonly kind: 'unheard'; readonly fence: number; readonly problem: LinkProblem }
  /** It went to a broker that does not say who listens. */
  | { readonly kind: 'cannot know'; readonly fence: number }
  /** null: that can not be known. `takesReceipt`: it will acknowledge what it is told. */
  | {
      readonly kind: 'listening'
      readonly listens: boolean | null
      readonly takesReceipt: boolean
      readonly where: string
    }
  | { readonly kind: 'report'; readonly order: Order; readonly fence: number }
)

/** What has to be remembered between news; plain data. */
export interface LinkMemory {
  readonly appliance: ApplianceName
  readonly begun_s: number
  readonly told: { readonly order: Order; readonly fence: number; readonly at_s: number } | null
  /** When the first command went out that has not been confirmed; null: none is open. */
  readonly openSince_s: number | null
  readonly confirmed: {
    readonly order: Order
    readonly fence: number
    readonly at_s: number
    readonly since_s: number
    readonly by: ConfirmedBy
  } | null
  readonly failed: {
    readonly state: 'refused' | 'unheard'
    readonly since_s: number
    readonly problem: LinkProblem
  } | null
  readonly cannotKnow: boolean
  readonly listens: boolean | null
  readonly reportedAt_s: number | null
}

export interface LinkLimits {
  /** How long an appliance may take to confirm, s. */
  readonly patience_s: number
  /** How long one that reports by itself may say nothing, s. */
  readonly silence_s: number
}

export function newLink(appliance: ApplianceName, begun_s: number): LinkMemory {
  return {
    appliance,
    begun_s,
    told: null,
    openSince_s: null,
    confirmed: null,
    failed: null,
    cannotKnow: false,
    listens: null,
    reportedAt_s: null,
  }
}

export function followLink(link: LinkMemory, news: LinkNews): LinkMemory {
  switch (news.kind) {
    case 'told': {
      const { order, fence, at_s } = news
      return { ...link, told: { order, fence, at_s }, openSince_s: link.openSince_s ?? at_s }
    }
    case 'confirmed':
      return confirm(link, news.fence, news.by, news.at_s)
    case 'refused':
    case 'unheard':
      // The answer to a command that has been followed by another says nothing about that one.
      return isAboutLatest(link, news.fence) ? fail(link, news.kind, news.problem, news.at_s) : link
    case 'cannot know':
      return { ...link, cannotKnow: true }
    case 'listening':
      return followListening(link, news)
    case 'report':
      return followReport(link, news)
  }
}

const isAboutLatest = ({ told }: LinkMemory, fence: number) => told !== null && fence >= told.fence

function confirm(link: LinkMemory, fence: number, by: ConfirmedBy, at_s: number): LinkMemory {
  if (!isAboutLatest(link, fence)) return link
  // One that reports is believed by its reports: that a message has arrived does not say that it is obeyed.
  if (by !== 'report' && by !== 'answer' && link.reportedAt_s !== null) return link
  const { order } = link.told!
  const before = link.confirmed
  const since_s =
    before !== null && link.failed === null && isSameOrder(before.order, order) ? before.since_s : at_s
  return { ...link, confirmed: { order, fence, at_s, since_s, by }, failed: null, openSince_s: null }
}

function fail(
  link: LinkMemory,
  state: 'refused' | 'unheard',
  problem: LinkProblem,
  at_s: number,
): LinkMemory {
  const since_s = link.failed?.since_s ?? link.openSince_s ?? at_s
  return { ...link, failed: { state, since_s, problem }, openSince_s: link.openSince_s ?? at_s }
}

function followListening(
  link: LinkMemory,
  { listens, takesReceipt, where, at_s }: Extract<LinkNews, { kind: 'listening' }>,
): LinkMemory {
  if (listens === link.listens) return link
  const next = { ...link, listens }
  if (listens === null) return next
  if (!listens) {
    // What it reported before it went is no sign of life any more.
    const gone = { ...next, reportedAt_s: null }
    return fail(gone, 'unheard', { kind: 'nobody listens', where }, at_s)
  }
  // It may have been switched off and on again meanwhile: what it confirmed before counts no more.
  const anew: LinkMemory = {
    ...next,
    confirmed: null,
    failed: null,
    openSince_s: next.told === null ? null : at_s,
  }
  if (next.told === null || takesReceipt) return anew
  return confirm(anew, next.told.fence, 'listening', at_s)
}

function followReport(
  link: LinkMemory,
  { order, fence, at_s }: Extract<LinkNews, { kind: 'report' }>,
): LinkMemory {
  const next = { ...link, reportedAt_s: at_s }
  const { told } = next
  // An older number: the latest command has not reached it yet.
  if (told === null || fence < told.fence) return next
  if (fence > told.fence) return fail(next, 'refused', { kind: 'obeys another' }, at_s)
  return isSameOrder(order, told.order)
    ? confirm(next, fence, 'report', at_s)
    : fail(next, 'refused', { kind: 'does other', order }, at_s)
}

/** Targets are printed with a few digits. */
function isSameOrder(a: Order, b: Order): boolean {
  return typeof a === 'number' && typeof b === 'number' ? Math.abs(a - b) < 0.011 : a === b
}

/** How an appliance stands at a time: silence is news too. */
export function linkAt(link: LinkMemory, now_s: number, limits: LinkLimits): ApplianceLink {
  const { appliance, told, confirmed } = link
  const facts = {
    appliance,
    order: told?.order ?? null,
    told_s: told?.at_s ?? null,
    confirmedAt_s: confirmed?.at_s ?? null,
    by: confirmed?.by ?? null,
  }
  return { ...facts, ...standingOf(link, now_s, limits) }
}

function standingOf(
  link: LinkMemory,
  now_s: number,
  { patience_s, silence_s }: LinkLimits,
): Pick<ApplianceLink, 'state' | 'since_s' | 'problem'> {
  const { told, openSince_s, confirmed, failed, reportedAt_s, listens, cannotKnow, begun_s } = link
  if (failed !== null) return failed
  if (reportedAt_s !== null && now_s - reportedAt_s > silence_s) {
    return { state: 'unheard', since_s: reportedAt_s, problem: { kind: 'silent' } }
  }
  if (told === null) {
    if (listens === true || reportedAt_s !== null)
      return { state: 'confirmed', since_s: begun_s, problem: null }
    return { state: 'unknown', since_s: begun_s, problem: { kind: 'not told yet' } }
  }
  if (openSince_s === null)
    return { state: 'confirmed', since_s: confirmed?.since_s ?? told.at_s, problem: null }
  const isRenewal = confirmed !== null && isSameOrder(confirmed.order, told.order)
  if (now_s - openSince_s <= patience_s) {
    return isRenewal
      ? { state: 'confirmed', since_s: confirmed.since_s, problem: null }
      : { state: 'told', since_s: openSince_s, problem: null }
  }
  if (cannotKnow && reportedAt_s === null) {
    return { state: 'unknown', since_s: openSince_s, problem: { kind: 'no confirmation' } }
  }
  return { state: 'unheard', since_s: openSince_s, problem: { kind: 'no confirmation' } }
}

/** When `linkAt` will say something else if nothing is heard until then; Infinity: never. */
export function linkChangesAt_s(link: LinkMemory, now_s: number, limits: LinkLimits): number {
  if (link.failed !== null) return Number.POSITIVE_INFINITY
  const { openSince_s, reportedAt_s } = link
  const due_s = [
    ...(openSince_s === null ? [] : [openSince_s + limits.patience_s + 1]),
    ...(reportedAt_s === null ? [] : [reportedAt_s + limits.silence_s + 1]),
  ]
  return Math.min(...due_s.filter(at_s => at_s > now_s), Number.POSITIVE_INFINITY)
}
