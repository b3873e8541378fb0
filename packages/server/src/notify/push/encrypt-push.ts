import { createCipheriv, createECDH, hkdfSync, randomBytes } from 'node:crypto'

/** The keys that a browser gave with its subscription, in base64url. */
export interface ReceiverKeys {
  readonly p256dh: string
  readonly auth: string
}

/** What must be new for each message. */
export interface OnceOnly {
  readonly salt: Buffer
  readonly privateKey: Buffer
}

/** A push service need take no more than 4096 bytes (RFC 8030, section 7.2); 103 of them are not text. */
export const LONGEST_PUSH_B = 4096 - 103

const CURVE = 'prime256v1'
const RECORD_B = 4096
/** Says that this record is the last (RFC 8188, section 2). */
const LAST_RECORD = Buffer.of(2)

/**
 * A message that nobody between here and the browser can read: RFC 8291, in one record of the content coding aes128gcm
 * (RFC 8188). Throws when the receiver's key is no point of the curve P-256.
 */
export function encryptPush(plain: Buffer, receiver: ReceiverKeys, once: OnceOnly = makeOnce()): Buffer {
  const receiverKey = Buffer.from(receiver.p256dh, 'base64url')
  const sender = createECDH(CURVE)
  sender.setPrivateKey(once.privateKey)
  const senderKey = sender.getPublicKey()
  const info = Buffer.concat([Buffer.from('WebPush: info\0'), receiverKey, senderKey])
  const auth = Buffer.from(receiver.auth, 'base64url')
  const secret = derive(sender.computeSecret(receiverKey), auth, info, 32)
  const key = derive(secret, once.salt, Buffer.from('Content-Encoding: aes128gcm\0'), 16)
  const nonce = derive(secret, once.salt, Buffer.from('Content-Encoding: nonce\0'), 12)
  const cipher = createCipheriv('aes-128-gcm', key, nonce)
  const sealed = [cipher.update(plain), cipher.update(LAST_RECORD), cipher.final(), cipher.getAuthTag()]
  const size = Buffer.alloc(5)
  size.writeUInt32BE(RECORD_B)
  size.writeUInt8(senderKey.length, 4)
  return Buffer.concat([once.salt, size, senderKey, ...sealed])
}

function makeOnce(): OnceOnly {
  const pair = createECDH(CURVE)
  pair.generateKeys()
  return { salt: randomBytes(16), privateKey: pair.getPrivateKey() }
}

/** HKDF with SHA-256 (RFC 5869). */
function derive(material: Buffer, salt: Buffer, info: Buffer, length: number): Buffer {
  return Buffer.from(hkdfSync('sha256', material, salt, info, length))
}
