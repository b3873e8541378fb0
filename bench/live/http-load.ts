import { connect, type Socket } from 'node:net'
import type { Acknowledgements } from './load.ts'

/** A connection that posts readings, one request after the other. Bare, so that sending costs little of the machine. */
export class HttpSender {
  readonly #socket: Socket
  readonly #head: string
  readonly #acknowledgements: Acknowledgements
  readonly #next: () => string
  readonly #perRequest: number
  readonly #ended = Promise.withResolvers<void>()
  #sent_ms = 0
  #heard = ''

  /** @param next The body of the next request; it holds `perRequest` readings. */
  constructor(url: string, next: () => string, perRequest: number, acknowledgements: Acknowledgements) {
    const { hostname, port } = new URL(url)
    this.#next = next
    this.#perRequest = perRequest
    this.#acknowledgements = acknowledgements
    this.#head =
      `POST /readings HTTP/1.1\r\nHost: ${hostname}:${port}\r\n` +
      'Content-Type: application/senml+json\r\nContent-Length: '
    this.#socket = connect(Number(port), hostname, () => this.#send())
    this.#socket.setNoDelay(true)
    this.#socket.setEncoding('latin1')
    this.#socket.on('data', (text: string) => this.#hear(text))
    this.#socket.on('error', problem => this.#ended.reject(problem))
    this.#socket.on('close', () => this.#ended.reject(new Error('the cellar hung up')))
  }

  /** Resolves when the time is over and the last request has been answered. */
  get ended(): Promise<void> {
    return this.#ended.promise
  }

  #send(): void {
    const body = this.#next()
    this.#sent_ms = performance.now()
    this.#socket.write(`${this.#head}${body.length}\r\n\r\n${body}`, 'latin1')
  }

  #hear(text: string): void {
    this.#heard += text
    const bodyAt = this.#heard.indexOf('\r\n\r\n') + 4
    if (bodyAt < 4) return
    const length = Number(/content-length: (\d+)/i.exec(this.#heard)?.[1])
    if (this.#heard.length < bodyAt + length) return
    const body = this.#heard.slice(bodyAt)
    const isStored =
      this.#heard.startsWith('HTTP/1.1 200') && body.startsWith(`{"stored":${this.#perRequest},`)
    this.#heard = ''
    if (!isStored) {
      this.#ended.reject(new Error(`not stored: ${body.slice(0, 300)}`))
      return
    }
    this.#acknowledgements.take(this.#perRequest, this.#sent_ms)
    if (!this.#acknowledgements.isOver) this.#send()
    else {
      this.#ended.resolve()
      this.#socket.destroy()
    }
  }
}
