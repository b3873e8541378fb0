import { once } from 'node:events'
import { createServer, type IncomingHttpHeaders, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'

export interface CaughtPost {
  readonly path: string
  readonly headers: IncomingHttpHeaders
  readonly body: string
}

/** A receiver of webhooks on loopback. */
export class HookReceiver {
  readonly posts: CaughtPost[] = []
  /** The status of the next answers; the last one again and again. null: no answer at all. */
  statuses: readonly (number | null)[] = [204]
  readonly #server: Server

  private constructor(server: Server) {
    this.#server = server
    server.on('request', async (request, response) => {
      let body = ''
      for await (const chunk of request.setEncoding('utf8')) body += chunk
      this.posts.push({ path: request.url ?? '', headers: request.headers, body })
      const [status] = this.statuses
      if (this.statuses.length > 1) this.statuses = this.statuses.slice(1)
      if (status === null) return
      response.writeHead(status!, { location: 'http://127.0.0.1:1/elsewhere' }).end('thank you')
    })
  }

  static async open(): Promise<HookReceiver> {
    const receiver = new HookReceiver(createServer())
    receiver.#server.listen(0, '127.0.0.1')
    await once(receiver.#server, 'listening')
    return receiver
  }

  get url(): string {
    return `http://127.0.0.1:${(this.#server.address() as AddressInfo).port}/cellar`
  }

  async close(): Promise<void> {
    this.#server.closeAllConnections()
    this.#server.close()
    await once(this.#server, 'close')
  }
}
