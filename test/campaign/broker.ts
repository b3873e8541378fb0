import type { BrokerNews, Listening } from '@attemper/server/doors/mqtt/mqtt-door.ts'
import type { Listener } from './devices.ts'
import type { Draws } from './draws.ts'
import type { EventQueue } from './event-queue.ts'
import type { Story } from './story.ts'

/** What befalls the messages to one listener. */
export class Line {
  /** Nothing arrives. */
  isCut = false
  /** What it heard last is not what was sent last: what a plain relay then does nobody can help. */
  isAstray = false
  /** Messages of one connection arrive in their order. */
  arrives_ms = 0
  readonly topic: string
  readonly listener: Listener

  constructor(topic: string, listener: Listener) {
    this.topic = topic
    this.listener = listener
  }
}

/** An MQTT broker with retained messages, and a wireless network that loses, doubles, delays and swaps what it carries. */
export class Broker {
  /** It keeps messages while the cellar is away: it is a program of its own. */
  readonly isOwnProgram: boolean
  isDown = false
  readonly lines: Line[] = []
  /** Who wants to hear of listeners and receipts: the present life of the cellar, when the broker is its own. */
  readonly watchers = new Set<(news: BrokerNews) => void>()
  /** Told when a device has heard the latest command as it was sent. */
  onHeard: (line: Line) => void = () => undefined
  readonly #queue: EventQueue
  readonly #draws: Draws
  readonly #story: Story
  readonly #retained = new Map<string, string>()
  /** The latest that was to be told, whether it has arrived or not. */
  readonly #sent = new Map<string, string>()
  /** Shares of messages that are lost, doubled or late. */
  readonly shares: { lost: number; doubled: number; late: number }

  constructor(queue: EventQueue, draws: Draws, story: Story) {
    this.#queue = queue
    this.#draws = draws
    this.#story = story
    this.isOwnProgram = draws.chance(0.4)
    const isBad = draws.chance(0.5)
    this.shares = isBad ? { lost: 0.02, doubled: 0.02, late: 0.03 } : { lost: 0, doubled: 0, late: 0 }
  }

  subscribe(topic: string, listener: Listener): Line {
    const line = new Line(topic, listener)
    this.lines.push(line)
    return line
  }

  /** Only a broker of the cellar's own says who listens; its devices acknowledge what they are told. */
  listening(topic: string): Listening | null {
    if (this.isOwnProgram) return null
    return { listens: this.lines.some(line => line.topic === topic && !line.isCut), takesReceipt: true }
  }

  /** A connection has gone, or is back. */
  cut(line: Line): void {
    line.isCut = true
    this.#news({ kind: 'listeners' })
  }

  #news(news: BrokerNews): void {
    if (!this.isOwnProgram) for (const watcher of [...this.watchers]) watcher(news)
  }

  /** Answers as the doors do: null, or what was in the way. */
  publish(topic: string, text: string, retain: boolean): string | null {
    if (this.isDown) {
      this.#sent.set(topic, text)
      return 'the broker does not answer'
    }
    this.#sent.set(topic, text)
    if (retain) this.#retained.set(topic, text)
    for (const line of this.lines) if (line.topic === topic) this.#send(line, text)
    return null
  }

  /** The cellar has ended: with it the broker that it opened, and what that had kept. */
  cellarEnded(): void {
    this.watchers.clear()
    if (!this.isOwnProgram) this.#retained.clear()
  }

  /** A device that comes back hears what has been kept. */
  reconnect(line: Line): void {
    line.isCut = false
    this.#news({ kind: 'listeners' })
    const text = this.#retained.get(line.topic)
    if (text !== undefined && !this.isDown) this.#deliver(line, text, true, this.#draws.between(50, 500), 0)
  }

  /** A broker that comes back from an old copy of its memory tells everybody what had been so long ago. */
  replay(line: Line, text: string, kept: boolean): void {
    this.#deliver(line, text, kept, this.#draws.between(50, 500), 0)
  }

  retained(topic: string): string | undefined {
    return this.#retained.get(topic)
  }

  #send(line: Line, text: string): void {
    const { lost, doubled, late } = this.shares
    if (line.isCut || this.#draws.chance(lost)) {
      line.isAstray = true
      this.#story.count('command lost')
      return
    }
    const isLate = this.#draws.chance(late)
    const wait_ms = isLate ? this.#draws.scale(1000, 300_000) : this.#draws.between(20, 400)
    if (isLate) this.#story.count('command late')
    const { now_ms } = this.#queue
    line.arrives_ms = Math.max(line.arrives_ms, now_ms + wait_ms)
    const way_ms = line.arrives_ms - now_ms
    this.#deliver(line, text, false, way_ms, way_ms)
    if (!this.#draws.chance(doubled)) return
    this.#story.count('command doubled')
    this.#deliver(line, text, false, way_ms + this.#draws.between(20, 60_000), 0)
  }

  #deliver(line: Line, text: string, kept: boolean, wait_ms: number, late_ms: number): void {
    this.#queue.after(wait_ms, () => {
      if (line.isCut) line.isAstray = true
      else {
        line.isAstray = text !== this.#sent.get(line.topic)
        line.listener.hear(text, kept, late_ms)
        this.#news({ kind: 'receipt', topic: line.topic, payload: text })
        if (!line.isAstray && !kept) this.onHeard(line)
      }
    })
  }
}
