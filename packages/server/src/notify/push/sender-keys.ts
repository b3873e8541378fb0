import { createECDH, createPrivateKey, sign } from 'node:crypto'
import type { Store } from '../../store/store.ts'

const DOCUMENT = 'notify.push.key'

/** A signature is good for this long; RFC 8292 allows 24 h. */
const GOOD_FOR_S = 12 * 3600

/**
 * The key by which push services know this cellar (RFC 8292). It is made once: a browser is subscribed to this key, and
 * with another one every device would have to be added anew.
 */
export interface SenderKeys {
  /** What a browser subscribes to: the point of P-256, uncompressed, in base64url. */
  readonly publicKey: string
  /** The header Authorization for one push service. `now_s` is real time: the service compares it with its own clock. */
  authorization(endpoint: string, contact: string | null, now_s: number): string
}

export function openSenderKeys(store: Pick<Store, 'getDocument' | 'putDocument'>): SenderKeys {
  const pair = createECDH('prime256v1')
  const kept = store.getDocument(DOCUMENT)
  if (kept === null) {
    pair.generateKeys()
    store.putDocument(DOCUMENT, pair.getPrivateKey('base64url'))
  } else pair.setPrivateKey(kept, 'base64url')
  const point = pair.getPublicKey()
  const publicKey = point.toString('base64url')
  const key = createPrivateKey({
    format: 'jwk',
    key: {
      kty: 'EC',
      crv: 'P-256',
      // A private key of this curve has 32 bytes; small ones are kept without their zeros.
      d: padded(pair.getPrivateKey()).toString('base64url'),
      x: point.subarray(1, 33).toString('base64url'),
      y: point.subarray(33).toString('base64url'),
    },
  })
  return {
    publicKey,
    authorization(endpoint, contact, now_s) {
      const claims = {
        aud: new URL(endpoint).origin,
        exp: Math.floor(now_s) + GOOD_FOR_S,
        ...(contact === null ? {} : { sub: contact }),
      }
      const text = `${part({ typ: 'JWT', alg: 'ES256' })}.${part(claims)}`
      const signature = sign('sha256', Buffer.from(text), { key, dsaEncoding: 'ieee-p1363' })
      return `vapid t=${text}.${signature.toString('base64url')}, k=${publicKey}`
    },
  }
}

function padded(bytes: Buffer): Buffer {
  return Buffer.concat([Buffer.alloc(Math.max(0, 32 - bytes.length)), bytes])
}

function part(value: object): string {
  return Buffer.from(JSON.stringify(value)).toString('base64url')
}
