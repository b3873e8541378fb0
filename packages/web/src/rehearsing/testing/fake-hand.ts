import type { Hand } from '../worker-hand.ts'

/** A worker that does nothing until it is told to: what it was sent can be looked at, and done late. */
export class FakeHand<Message extends { readonly ticket: number }, Reply> implements Hand<Message, Reply> {
  readonly sent: Message[] = []
  readonly #work: (message: Message) => Reply
  #waiting: Message[] = []
  #take: (reply: Reply) => void = () => undefined

  constructor(work: (message: Message) => Reply) {
    this.#work = work
  }

  send(message: Message): void {
    this.sent.push(message)
    this.#waiting.push(message)
  }

  listen(take: (reply: Reply) => void): void {
    this.#take = take
  }

  get isIdle(): boolean {
    return this.#waiting.length === 0
  }

  /** Does the message that came first. */
  work(): void {
    const message = this.#waiting.shift()
    if (message !== undefined) this.#take(this.#work(message))
  }
}
