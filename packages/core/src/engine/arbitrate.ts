import { heardSince_s, isProven, isWaiting, unsure } from './belief.ts'
import type { ChannelState } from './contract.ts'
import type { Draft } from './draft.ts'
import { watchStillness } from './stillness.ts'
import { standByGood } from './validate.ts'

/**
 * Second part of the pipeline: decides, for each quantity, whom to believe. Channels stand in an order of trust; the most
 * trusted one that is believed is in charge. A channel that falls silent is lost after its timeout, and comes back only
 * after several good readings in a row, in agreement with the one in charge. At first, and after a restart of the software, a reading
needs a second one that supports it (belief.ts).
 */
export function arbitrate(draft: Draft): void {
  loseTheSilent(draft)
  earnBack(draft)
  watchStillness(draft)
  putInCharge(draft)
  compareTrusted(draft)
  setScope(draft)
}

function replaceChannel(draft: Draft, number: number, change: Partial<ChannelState>): void {
  const channels = draft.state.channels.slice()
  channels[number] = { ...channels[number]!, ...change }
  draft.state.channels = channels
}

function loseTheSilent(draft: Draft): void {
  const { program, state, now_s } = draft
  for (let number = 0; number < program.channels.length; number++) {
    const channel = state.channels[number]!
    const { silence_s, instrument, quantity } = program.channels[number]!
    if (channel.at_s === null || !(channel.trusted || isWaiting(channel))) continue
    if (now_s < heardSince_s(state, channel.at_s, channel) + silence_s) continue
    replaceChannel(draft, number, { ...unsure(channel), doubted: true })
    draft.events.push({
      kind: 'instrument lost',
      at_s: now_s,
      instrument,
      quantity: program.quantities[quantity]!.name,
      why: 'silent',
      value: channel.value,
    })
  }
}

function earnBack(draft: Draft): void {
  const { program, now_s } = draft
  for (let number = 0; number < program.channels.length; number++) {
    const channel = draft.state.channels[number]!
    if (channel.trusted || channel.value === null || channel.run === 0) continue
    // What has fallen silent meanwhile is not good any more.
    if (now_s >= channel.at_s! + program.channels[number]!.silence_s) continue
    if (!isProven(channel, program.channels[number]!)) continue
    if (channel.doubted && !agreesWithTrusted(draft, number)) continue
    replaceChannel(draft, number, { trusted: true, run: 0, row: null, sure: null })
    if (!channel.doubted) continue
    const { instrument, quantity } = program.channels[number]!
    draft.events.push({
      kind: 'instrument back',
      at_s: now_s,
      instrument,
      quantity: program.quantities[quantity]!.name,
      value: channel.value,
    })
  }
}

function agreesWithTrusted(draft: Draft, number: number): boolean {
  const { program, state, scope } = draft
  const { trust, disagree } = program.quantities[program.channels[number]!.quantity]!
  const value = state.channels[number]!.value!
  for (const other of trust) {
    const { trusted, value: otherValue } = state.channels[other]!
    if (other === number || !trusted) continue
    if (Math.abs(value - otherValue!) <= disagree) return true
    // It may come to agree because the other one moves towards it.
    if (otherValue! > value) scope.between(other, value + disagree, Number.POSITIVE_INFINITY)
    else scope.between(other, Number.NEGATIVE_INFINITY, value - disagree)
    return false
  }
  return true
}

function putInCharge(draft: Draft): void {
  const { program, state, now_s } = draft
  for (let quantity = 0; quantity < program.quantities.length; quantity++) {
    const before = state.inCharge[quantity]!
    const now = firstTrusted(draft, quantity)
    if (now === before) continue
    state.inCharge = state.inCharge.with(quantity, now)
    draft.events.push({
      kind: 'in charge',
      at_s: now_s,
      quantity: program.quantities[quantity]!.name,
      instrument: now < 0 ? null : program.channels[now]!.instrument,
      before: before < 0 ? null : program.channels[before]!.instrument,
    })
  }
}

function firstTrusted(draft: Draft, quantity: number): number {
  const { trust } = draft.program.quantities[quantity]!
  const { channels } = draft.state
  let first = -1
  for (const number of trust) {
    const { trusted, stuckSince_s } = channels[number]!
    if (!trusted) continue
    // One that stands still against all reason stays in charge only when there is no other.
    if (stuckSince_s == null) return number
    if (first < 0) first = number
  }
  return first
}

function secondTrusted(draft: Draft, quantity: number, first: number): number {
  const { trust } = draft.program.quantities[quantity]!
  for (const number of trust) if (number !== first && draft.state.channels[number]!.trusted) return number
  return -1
}

/** Instruments that differed agree again only when their difference has come down to this share of what is allowed. */
const AGREED_SHARE = 0.8

/**
 * Two instruments can not vote: a difference between them is reported, and the more trusted one stays in charge. It must
 * last until the slower of the two has had the chance to follow: on a ramp, a float that reports every half an hour is
 * always a little behind, and that is no contradiction.
 */
function compareTrusted(draft: Draft): void {
  const { program, state } = draft
  for (let quantity = 0; quantity < program.quantities.length; quantity++) {
    if (program.quantities[quantity]!.disagree === Number.POSITIVE_INFINITY) continue
    const first = state.inCharge[quantity]!
    const second = first < 0 ? -1 : secondTrusted(draft, quantity, first)
    const known = state.disagreeing.find(each => each.quantity === quantity)
    if (second >= 0 && isApart(draft, quantity, first, second, known !== undefined)) {
      noteDifference(draft, quantity, first, second)
    } else if (known) {
      state.disagreeing = state.disagreeing.filter(each => each !== known)
      if (known.said && second >= 0) sayDifference(draft, 'agree', quantity, first, second)
    }
  }
}

function isApart(draft: Draft, quantity: number, first: number, second: number, wasApart: boolean): boolean {
  const { program, state, scope } = draft
  const { disagree } = program.quantities[quantity]!
  const allowed = wasApart ? disagree * AGREED_SHARE : disagree
  const a = state.channels[first]!.value!
  const b = state.channels[second]!.value!
  // Each of the two may move within its half of the room without changing the outcome.
  const middle = (a + b) / 2
  const half = allowed / 2
  if (Math.abs(a - b) <= allowed) {
    scope.between(first, middle - half, middle + half)
    scope.between(second, middle - half, middle + half)
    return false
  }
  const [above, below] = a > b ? [first, second] : [second, first]
  scope.between(above, middle + half, Number.POSITIVE_INFINITY)
  scope.between(below, Number.NEGATIVE_INFINITY, middle - half)
  return true
}

function noteDifference(draft: Draft, quantity: number, first: number, second: number): void {
  const { program, state, scope, now_s } = draft
  const known = state.disagreeing.find(each => each.quantity === quantity)
  if (known?.said) return
  const since_s = known?.since_s ?? now_s
  const patience_s = Math.max(program.channels[first]!.silence_s, program.channels[second]!.silence_s)
  const said = now_s >= since_s + patience_s
  // The narrower band of a difference that is known counts from the next second on.
  if (known && !said) scope.wake(since_s + patience_s)
  else scope.lookAgain()
  if (known && !said) return
  state.disagreeing = [...state.disagreeing.filter(each => each !== known), { quantity, since_s, said }]
  if (said) sayDifference(draft, 'disagree', quantity, first, second)
}

function sayDifference(
  draft: Draft,
  kind: 'disagree' | 'agree',
  quantity: number,
  first: number,
  second: number,
): void {
  const { program, state, now_s, events } = draft
  events.push({
    kind,
    at_s: now_s,
    quantity: program.quantities[quantity]!.name,
    instruments: [program.channels[first]!.instrument, program.channels[second]!.instrument],
    difference: state.channels[first]!.value! - state.channels[second]!.value!,
  })
}

function setScope(draft: Draft): void {
  const { program, state, scope } = draft
  for (let number = 0; number < program.channels.length; number++) {
    const channel = state.channels[number]!
    if (!channel.trusted) {
      scope.everyReading(number)
      if (isWaiting(channel)) {
        scope.wake(heardSince_s(state, channel.at_s!, channel) + program.channels[number]!.silence_s)
      }
      continue
    }
    standByGood(draft, number)
    scope.silence_s[number] = program.channels[number]!.silence_s
  }
}
