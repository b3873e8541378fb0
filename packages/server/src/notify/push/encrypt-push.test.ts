import { describe, expect, test } from 'vitest'
import { PaperStore } from '../../alarms/testing/paper-store.ts'
import { PushBrowser, readAuthorization } from '../testing/push-service.ts'
import { encryptPush, LONGEST_PUSH_B } from './encrypt-push.ts'
import { openSenderKeys } from './sender-keys.ts'

/** RFC 8291, section 5 and appendix A: the worked example of an encrypted message. */
const EXAMPLE = {
  plain: 'When I grow up, I want to be a watermelon',
  receiver: {
    privateKey: 'q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94',
    p256dh: 'BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4',
    auth: 'BTBZMqHH6r4Tts7J_aSIgg',
  },
  sender: 'yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw',
  salt: 'DGv6ra1nlYgDCS1FRnbzlw',
  body:
    'DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_' +
    'yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN',
}

/** RFC 8292, section 2.4: the worked example of a signed request. */
const SIGNED =
  'vapid t=eyJ0eXAiOiJKV1QiLCJhbGciOiJFUzI1NiJ9.eyJhdWQiOiJodHRwczovL3B1c2guZXhhbXBsZS5uZXQiLCJleHAiOjE0NTM1MjM3NjgsInN1' +
  'YiI6Im1haWx0bzpwdXNoQGV4YW1wbGUuY29tIn0.i3CYb7t4xfxCDquptFOepC9GAu_HLGkMlMuCGSK2rpiUfnK9ojFwDXb1JrErtmysazNjjvW2L9Ok' +
  'SSHzvoD1oA, k=BA1Hxzyi1RUM1b5wjxsn7nGxAszw2u61m164i3MrAIxHF6YK5h4SDYic-dRuU_RCPCfA5aq9ojSwk5Y2EmClBPs'

describe('a message for a browser', () => {
  test('is, byte by byte, the example of RFC 8291', () => {
    const once = {
      salt: Buffer.from(EXAMPLE.salt, 'base64url'),
      privateKey: Buffer.from(EXAMPLE.sender, 'base64url'),
    }
    const body = encryptPush(Buffer.from(EXAMPLE.plain), EXAMPLE.receiver, once)
    expect(body.toString('base64url')).toBe(EXAMPLE.body)
  })

  test('the browser of the tests reads that example', () => {
    const browser = new PushBrowser(EXAMPLE.receiver)
    expect(browser.keys.p256dh).toBe(EXAMPLE.receiver.p256dh)
    expect(browser.read(Buffer.from(EXAMPLE.body, 'base64url'))).toBe(EXAMPLE.plain)
  })

  test('is another each time, and the longest still fits', () => {
    const browser = new PushBrowser()
    const plain = Buffer.alloc(LONGEST_PUSH_B, 'ü')
    const [first, second] = [encryptPush(plain, browser.keys), encryptPush(plain, browser.keys)]
    expect(first.length).toBe(4096)
    expect(first.equals(second)).toBe(false)
    expect(browser.read(first)).toBe(plain.toString())
    expect(() => new PushBrowser().read(first)).toThrow()
  })
})

describe('the signature', () => {
  test('the example of RFC 8292 is read as it says; a changed one is not', () => {
    const claims = { aud: 'https://push.example.net', exp: 1_453_523_768, sub: 'mailto:push@example.com' }
    expect(readAuthorization(SIGNED)?.claims).toEqual(claims)
    expect(readAuthorization(SIGNED.replace('i3CYb7t4', 'i3CYb7t5'))).toBeNull()
  })

  test('ours is like it, and by the same key after a restart', () => {
    const store = new PaperStore()
    const keys = openSenderKeys(store)
    const header = keys.authorization('https://push.example.net/p/1', 'mailto:kim@example.org', 1_453_480_568)
    expect(readAuthorization(header)).toEqual({
      key: keys.publicKey,
      claims: { aud: 'https://push.example.net', exp: 1_453_523_768, sub: 'mailto:kim@example.org' },
    })
    const again = openSenderKeys(store)
    expect(again.publicKey).toBe(keys.publicKey)
    expect(readAuthorization(again.authorization('https://push.example.net', null, 0))?.claims).toEqual({
      aud: 'https://push.example.net',
      exp: 43_200,
    })
    expect(openSenderKeys(new PaperStore()).publicKey).not.toBe(keys.publicKey)
  })

  test('a private key that begins with zeros signs too', () => {
    const store = new PaperStore()
    store.putDocument('notify.push.key', Buffer.of(7, 1).toString('base64url'))
    const keys = openSenderKeys(store)
    expect(readAuthorization(keys.authorization('https://push.example.net', null, 0))?.key).toBe(
      keys.publicKey,
    )
  })
})
