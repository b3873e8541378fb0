import { once } from 'node:events'
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net'

export interface CaughtMail {
  readonly from: string
  readonly to: readonly string[]
  /** Headers and body as they came. */
  readonly raw: string
  readonly user: string | null
}

/** A small SMTP server (RFC 5321, AUTH PLAIN of RFC 4954) that keeps what it gets. */
export class SmtpSink {
  readonly mails: CaughtMail[] = []
  /** Answers to give instead of the usual ones, by the beginning of the command: { 'RCPT TO:<x@': '550 no' }. */
  answers: Readonly<Record<string, string>> = {}
  /** Accepts connections and says nothing. */
  isMute = false
  connections = 0
  readonly #server: Server
  readonly #sockets = new Set<Socket>()
  #arrived: (() => void)[] = []

  private constructor(server: Server) {
    this.#server = server
    server.on('connection', socket => this.#serve(socket))
  }

  static async open(port = 0): Promise<SmtpSink> {
    const server = createServer()
    const sink = new SmtpSink(server)
    server.listen(port, '127.0.0.1')
    await once(server, 'listening')
    return sink
  }

  get port(): number {
    return (this.#server.address() as AddressInfo).port
  }

  /** Resolves when this many mails have come. */
  async caught(count: number): Promise<readonly CaughtMail[]> {
    while (this.mails.length < count) {
      await new Promise<void>(resolve => {
        this.#arrived.push(resolve)
      })
    }
    return this.mails
  }

  async close(): Promise<void> {
    for (const socket of this.#sockets) socket.destroy()
    this.#server.close()
    await once(this.#server, 'close')
  }

  #serve(socket: Socket) {
    this.connections++
    this.#sockets.add(socket)
    socket.on('close', () => this.#sockets.delete(socket))
    socket.on('error', () => socket.destroy())
    if (this.isMute) return
    const say = (line: string) => socket.write(`${line}\r\n`)
    let waiting = ''
    let data: string[] | null = null
    let from = ''
    let to: string[] = []
    let user: string | null = null
    const finish = (lines: readonly string[]) => {
      this.mails.push({ from, to, raw: lines.map(line => line.replace(/^\./, '')).join('\n'), user })
      say('250 kept')
      for (const resolve of this.#arrived.splice(0)) resolve()
    }
    const command = (line: string) => {
      const [, answer] = Object.entries(this.answers).find(([beginning]) => line.startsWith(beginning)) ?? []
      if (answer !== undefined) return say(answer)
      if (/^EHLO/i.test(line)) return say('250-sink\r\n250-AUTH PLAIN\r\n250 8BITMIME')
      if (/^AUTH PLAIN /i.test(line)) {
        user = Buffer.from(line.slice(11), 'base64').toString().split('\0')[1] ?? null
        return say('235 welcome')
      }
      if (/^MAIL FROM:/i.test(line)) from = /<(.*)>/.exec(line)?.[1] ?? ''
      if (/^RCPT TO:/i.test(line)) to = [...to, /<(.*)>/.exec(line)?.[1] ?? '']
      if (/^DATA/i.test(line)) {
        data = []
        return say('354 go on')
      }
      if (/^QUIT/i.test(line)) {
        say('221 bye')
        return socket.end()
      }
      return say(/^(?:MAIL|RCPT|RSET|NOOP)/i.test(line) ? '250 fine' : '502 not known here')
    }
    say('220 sink')
    socket.setEncoding('utf8').on('data', (chunk: string) => {
      waiting += chunk
      for (let end = waiting.indexOf('\r\n'); end >= 0; end = waiting.indexOf('\r\n')) {
        const line = waiting.slice(0, end)
        waiting = waiting.slice(end + 2)
        if (data === null) command(line)
        else if (line === '.') {
          const lines = data
          data = null
          finish(lines)
        } else data.push(line)
      }
    })
  }
}
