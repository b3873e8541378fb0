import {
  createDecipheriv,
  createECDH,
  createPublicKey,
  type ECDH,
  hkdfSync,
  randomBytes,
  verify,
} from 'node:crypto'
import { once } from 'node:events'
import { createServer, type IncomingHttpHeaders, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'

export interface CaughtPush {
  readonly path: string
  readonly headers: IncomingHttpHeaders
  /** As the browser reads it. */
  readonly text: string
}

/** A push service on loopback, together with the browser behind it: it decrypts what arrives, or keeps why it can not. */
export class PushService {
  readonly caught: CaughtPush[] = []
  readonly faults: string[] = []
  /** The status of the next answers; the last one again and again. */
  statuses: readonly number[] = [201]
  readonly #server: Server
  readonly #browser = new PushBrowser()

  private constructor(server: Server) {
    this.#server = server
    server.on('request', async (request, response) => {
      const parts: Buffer[] = []
      for await (const part of request) parts.push(part as Buffer)
      const [status] = this.statuses
      if (this.statuses.length > 1) this.statuses = this.statuses.slice(1)
      try {
        const text = this.#browser.read(Buffer.concat(parts))
        this.caught.push({ path: request.url ?? '', headers: request.headers, text })
      } catch (error) {
        this.faults.push(String(error))
      }
      response.writeHead(status!, { location: 'http://127.0.0.1:1/elsewhere' }).end()
    })
  }

  static async open(): Promise<PushService> {
    const service = new PushService(createServer())
    service.#server.listen(0, '127.0.0.1')
    await once(service.#server, 'listening')
    return service
  }

  get origin(): string {
    return `http://127.0.0.1:${(this.#server.address() as AddressInfo).port}`
  }

  /** What the browser would hand in. */
  subscription(path = '/box/1') {
    return { endpoint: `${this.origin}${path}`, keys: this.#browser.keys }
  }

  async close(): Promise<void> {
    this.#server.closeAllConnections()
    this.#server.close()
    await once(this.#server, 'close')
  }
}

/** The receiving end of RFC 8291, written from its side, not from the sender's. */
export class PushBrowser {
  readonly #pair: ECDH
  readonly #auth: Buffer

  constructor(own?: { readonly privateKey: string; readonly auth: string }) {
    this.#pair = createECDH('prime256v1')
    if (own === undefined) this.#pair.generateKeys()
    else this.#pair.setPrivateKey(own.privateKey, 'base64url')
    this.#auth = own === undefined ? randomBytes(16) : Buffer.from(own.auth, 'base64url')
  }

  get keys() {
    return {
      p256dh: this.#pair.getPublicKey('base64url'),
      auth: this.#auth.toString('base64url'),
    }
  }

  read(body: Buffer): string {
    const salt = body.subarray(0, 16)
    const recordLength = body.readUInt32BE(16)
    const senderKey = body.subarray(21, 21 + body.readUInt8(20))
    const record = body.subarray(21 + senderKey.length)
    if (record.length > recordLength || body.length > 4096) throw new Error('It is longer than one record.')
    const info = Buffer.concat([Buffer.from('WebPush: info\0'), this.#pair.getPublicKey(), senderKey])
    const shared = hkdfSync('sha256', this.#pair.computeSecret(senderKey), this.#auth, info, 32)
    const derived = (what: string, length: number) =>
      new Uint8Array(hkdfSync('sha256', new Uint8Array(shared), salt, `Content-Encoding: ${what}\0`, length))
    const open = createDecipheriv('aes-128-gcm', derived('aes128gcm', 16), derived('nonce', 12))
    open.setAuthTag(record.subarray(-16))
    const padded = Buffer.concat([open.update(record.subarray(0, -16)), open.final()])
    const end = padded.findLastIndex(byte => byte !== 0)
    if (padded[end] !== 2) throw new Error('The last record is not marked as such.')
    return padded.subarray(0, end).toString('utf8')
  }
}

/** What a signed header of RFC 8292 claims; null: the signature is not by the key in it. */
export function readAuthorization(header: string): { readonly key: string; readonly claims: object } | null {
  const found = /^vapid\s+t=([\w-]+)\.([\w-]+)\.([\w-]+),\s*k=([\w-]+)$/.exec(header)
  if (found === null) return null
  const [, head = '', claims = '', signature = '', key = ''] = found
  const point = Buffer.from(key, 'base64url')
  const isSigned = verify(
    'sha256',
    Buffer.from(`${head}.${claims}`),
    {
      key: createPublicKey({
        format: 'jwk',
        key: {
          kty: 'EC',
          crv: 'P-256',
          x: point.subarray(1, 33).toString('base64url'),
          y: point.subarray(33).toString('base64url'),
        },
      }),
      dsaEncoding: 'ieee-p1363',
    },
    Buffer.from(signature, 'base64url'),
  )
  return isSigned ? { key, claims: JSON.parse(Buffer.from(claims, 'base64url').toString()) as object } : null
}
