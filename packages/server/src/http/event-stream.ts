import type { OutgoingHttpHeaders, ServerResponse } from 'node:http'

/** More than this waiting means that nobody reads: the listener may come again, and goes on where it was. */
const MOST_WAITING_B = 1_048_576

/** A stream of server-sent events (text/event-stream of the HTML standard). */
export class EventStream {
  readonly #out: ServerResponse

  constructor(out: ServerResponse, headers: OutgoingHttpHeaders) {
    this.#out = out
    out.writeHead(200, {
      ...headers,
      'content-type': 'text/event-stream; charset=utf-8',
      'x-accel-buffering': 'no',
    })
    out.write('retry: 2000\n\n')
  }

  /** Without an id, a listener who is cut off goes on after the event before. */
  send(event: string, data: unknown, id: string | null): void {
    const numbered = id === null ? '' : `id: ${id}\n`
    this.#write(`${numbered}event: ${event}\ndata: ${JSON.stringify(data)}\n\n`)
  }

  end(): void {
    this.#out.end()
  }

  #write(text: string): void {
    if (this.#out.writableEnded || this.#out.destroyed) return
    if (this.#out.writableLength > MOST_WAITING_B) this.#out.destroy()
    else this.#out.write(text)
  }
}
