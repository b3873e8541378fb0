import {
  type ApplianceLink,
  followLink,
  type LinkLimits,
  type LinkMemory,
  type LinkNews,
  linkAt,
  linkChangesAt_s,
  newLink,
  type Order,
} from '@attemper/core/batch/appliance-link.ts'
import type { Command } from '@attemper/core/engine/contract.ts'
import type { ApplianceName } from '@attemper/core/engine/events.ts'
import type { ApplianceDoor, ApplianceNews, Sent } from '../doors/appliance-door.ts'
import type { Clock } from './clock.ts'
import type { Timers } from './timers.ts'
import { reasonOf } from './trouble.ts'

/** Real time: networks and devices wait in it, however fast the cellar's clock runs. */
const PATIENCE_MS = 15_000
/** An appliance that reports does so each minute. */
const SILENCE_MS = 200_000
/** What has not been confirmed is told again after this, with the same fencing number: to an appliance it is one command. */
const TELL_AGAIN_MS = 30_000
/** One that can only be asked is asked so often whether it is still there. */
const ASK_AGAIN_MS = 300_000

export interface LinkParts {
  readonly door: ApplianceDoor
  /** Those that the vessel has. */
  readonly appliances: readonly ApplianceName[]
  readonly clock: Clock
  readonly timers: Timers
  /** Called when an appliance stands otherwise than before. */
  readonly onChange: (link: ApplianceLink, before: ApplianceLink) => void
}

/**
 * Hands commands to a vessel's door, each at once (a slow appliance must not hold up the other one, and fencing numbers keep
 * a late command from being obeyed), and knows of each appliance whether it has confirmed what it was told. The engine renews
 * the lease of what should be on; what has not been confirmed is told again besides, "off" above all.
 */
export class ApplianceLinks {
  readonly #parts: LinkParts
  readonly #limits: LinkLimits
  readonly #memories = new Map<ApplianceName, LinkMemory>()
  readonly #latest = new Map<ApplianceName, Command>()
  readonly #sentAt_ms = new Map<ApplianceName, number>()
  readonly #told = new Map<ApplianceName, ApplianceLink>()
  readonly #underway = new Set<Promise<void>>()
  /** How many commands each door has not answered yet. */
  readonly #unanswered = new Map<ApplianceName, number>()
  readonly #stopListening: () => void
  #callOff: () => void = () => undefined
  #isClosed = false

  constructor(parts: LinkParts) {
    this.#parts = parts
    const { clock, door } = parts
    this.#limits = {
      patience_s: (PATIENCE_MS * clock.speed) / 1000,
      silence_s: (SILENCE_MS * clock.speed) / 1000,
    }
    for (const appliance of parts.appliances) {
      if (door.switches?.(appliance) === false) continue
      const memory = newLink(appliance, this.#now_s)
      this.#memories.set(appliance, memory)
      this.#told.set(appliance, linkAt(memory, this.#now_s, this.#limits))
    }
    this.#stopListening = door.listen?.(news => this.#hear(news)) ?? (() => undefined)
  }

  get links(): readonly ApplianceLink[] {
    const now_s = this.#now_s
    return [...this.#memories.values()].map(memory => linkAt(memory, now_s, this.#limitsOf(memory.appliance)))
  }

  send(commands: readonly Command[]): void {
    for (const command of commands) {
      this.#latest.set(command.appliance, command)
      this.#follow(command.appliance, { kind: 'told', order: orderOf(command), fence: command.fence })
      this.#hand(command)
    }
    this.#wakeWhenDue()
  }

  /** Closes the door when everything handed over so far has been sent or given up. */
  async close(): Promise<void> {
    this.#isClosed = true
    this.#callOff()
    await Promise.allSettled(this.#underway)
    this.#stopListening()
    await this.#parts.door.close()
  }

  get #now_s(): number {
    return Math.floor(this.#parts.clock.now_ms() / 1000)
  }

  #hand(command: Command): void {
    this.#sentAt_ms.set(command.appliance, this.#parts.clock.now_ms())
    this.#countUnanswered(command.appliance, 1)
    const sending = this.#sendOne(command).finally(() => this.#underway.delete(sending))
    this.#underway.add(sending)
  }

  async #sendOne(command: Command): Promise<void> {
    const { appliance, fence } = command
    const answer = await this.#attempt(command)
    this.#countUnanswered(appliance, -1)
    const news = newsOf(answer, fence)
    if (news !== null) this.#follow(appliance, news)
    this.#wakeWhenDue()
  }

  #countUnanswered(appliance: ApplianceName, by: number): void {
    this.#unanswered.set(appliance, (this.#unanswered.get(appliance) ?? 0) + by)
  }

  /** A door answers within its own time; patience is for what comes after that. */
  #limitsOf(appliance: ApplianceName): LinkLimits {
    const isWaiting = (this.#unanswered.get(appliance) ?? 0) > 0
    return isWaiting ? { ...this.#limits, patience_s: Number.POSITIVE_INFINITY } : this.#limits
  }

  async #attempt(command: Command): Promise<Sent> {
    try {
      return await this.#parts.door.send(command)
    } catch (error) {
      // A door promises not to throw; one that does must not stop the batch.
      return { sent: false, problem: reasonOf(error) }
    }
  }

  #hear(news: ApplianceNews): void {
    const { appliance } = news
    switch (news.kind) {
      case 'listening':
        this.#follow(appliance, news)
        break
      case 'receipt':
        this.#follow(appliance, { kind: 'confirmed', fence: news.fence, by: 'receipt' })
        break
      case 'report':
        this.#follow(appliance, news)
    }
    this.#wakeWhenDue()
  }

  #follow(appliance: ApplianceName, news: LinkNewsWithoutTime): void {
    const before = this.#memories.get(appliance)
    if (before === undefined) return
    this.#memories.set(appliance, followLink(before, { ...news, at_s: this.#now_s }))
    this.#tellChange(appliance)
  }

  #tellChange(appliance: ApplianceName): void {
    const link = linkAt(this.#memories.get(appliance)!, this.#now_s, this.#limitsOf(appliance))
    const before = this.#told.get(appliance)!
    this.#told.set(appliance, link)
    if (this.#isClosed || link.state === before.state) return
    this.#parts.onChange(link, before)
  }

  #wakeWhenDue(): void {
    this.#callOff()
    if (this.#isClosed) return
    let due_ms = Number.POSITIVE_INFINITY
    for (const [appliance, memory] of this.#memories) {
      due_ms = Math.min(
        due_ms,
        linkChangesAt_s(memory, this.#now_s, this.#limitsOf(appliance)) * 1000,
        this.#tellAgainAt_ms(appliance),
      )
    }
    if (!Number.isFinite(due_ms)) return
    this.#callOff = this.#parts.timers.set(due_ms, () => this.#onWake())
  }

  #onWake(): void {
    const now_ms = this.#parts.clock.now_ms()
    for (const appliance of this.#memories.keys()) {
      this.#tellChange(appliance)
      if (now_ms >= this.#tellAgainAt_ms(appliance)) this.#hand(this.#latest.get(appliance)!)
    }
    this.#wakeWhenDue()
  }

  /** Infinity: there is no need, or the command has lapsed. */
  #tellAgainAt_ms(appliance: ApplianceName): number {
    const never = Number.POSITIVE_INFINITY
    const command = this.#latest.get(appliance)
    if (command === undefined) return never
    const { door, clock } = this.#parts
    const { state } = this.#told.get(appliance)!
    const isMissed = state === 'unheard' || state === 'refused'
    if (!isMissed && door.mustAsk?.(appliance) !== true) return never
    const due_ms =
      (this.#sentAt_ms.get(appliance) ?? 0) + (isMissed ? TELL_AGAIN_MS : ASK_AGAIN_MS) * clock.speed
    return isOff(command) || due_ms < command.until_s * 1000 ? due_ms : never
  }
}

type LinkNewsWithoutTime = LinkNews extends infer News
  ? News extends LinkNews
    ? Omit<News, 'at_s'>
    : never
  : never

function newsOf(answer: Sent, fence: number): LinkNewsWithoutTime | null {
  if (!answer.sent) {
    const problem = { kind: 'door', said: answer.problem ?? 'the door does not say why' } as const
    return { kind: answer.refused ? 'refused' : 'unheard', fence, problem }
  }
  if (answer.confirmed !== undefined) return { kind: 'confirmed', fence, by: answer.confirmed }
  return answer.cannotKnow ? { kind: 'cannot know', fence } : null
}

function orderOf(command: Command): Order {
  return command.appliance === 'thermostat' ? command.target_C : command.on
}

function isOff(command: Command): boolean {
  const order = orderOf(command)
  return order === false || order === null
}

/** It has not done what it was told, as far as anybody knows. */
export function isMissed({ state }: ApplianceLink): boolean {
  return state === 'unheard' || state === 'refused'
}
