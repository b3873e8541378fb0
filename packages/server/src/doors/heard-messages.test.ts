import { expect, test } from 'vitest'
import { type Heard, HeardMessages } from './heard-messages.ts'

const clock = { now_ms: () => 1_764_612_000_000 }

function heard(part: Partial<Heard> & { readonly text?: string } = {}): Heard {
  const { text = '18.2', ...rest } = part
  return {
    ...{ door: 'mqtt', where: 'attemper/bucket/probe/beer', by: 'probe-1', kind: null },
    body: Buffer.from(text),
    readings: [],
    refused: [],
    ...rest,
  }
}

test('the last 200 are kept, and asked for from where one stopped', () => {
  const messages = new HeardMessages(clock)
  for (let number = 1; number <= 1000; number++) messages.hear(heard({ text: String(number) }))
  const all = messages.after(0)
  expect([all.length, all[0]?.text, all.at(-1)?.text]).toEqual([200, '801', '1000'])
  expect(messages.after(998).map(({ number }) => number)).toEqual([999, 1000])
  expect(messages.after(1000)).toEqual([])
  // Whoever listened before a restart goes on from a number that has not been given since.
  const anew = new HeardMessages(clock)
  anew.hear(heard())
  expect(anew.after(1000)).toMatchObject([{ number: 1, at_ms: clock.now_ms(), bytes: 4, text: '18.2' }])
})

test('only the beginning of a long message is kept, cut between two letters', () => {
  const messages = new HeardMessages(clock)
  messages.hear(heard({ text: 'ü'.repeat(60_000) }))
  messages.hear(heard({ text: `x${'ü'.repeat(60_000)}` }))
  const refused = Array.from({ length: 500 }, (_, index) => ({
    index,
    code: 'not-a-number' as const,
    message: 'x',
  }))
  messages.hear(heard({ refused }))
  const [even, odd, many] = messages.after(0)
  expect([even?.bytes, even?.isText, even?.text]).toEqual([120_000, true, 'ü'.repeat(1000)])
  expect([odd?.bytes, odd?.isText, odd?.text]).toEqual([120_001, true, `x${'ü'.repeat(999)}`])
  expect([many?.refused.length, many?.refusedCount]).toEqual([20, 500])
})

test('what is no text is shown in hexadecimal digits', () => {
  const messages = new HeardMessages(clock)
  messages.hear(heard({ body: Buffer.from([0x81, 0xa2, 0xff, 0x00]) }))
  messages.hear(heard({ body: Buffer.from([0x41, 0x00]) }))
  messages.hear(heard({ body: null }))
  expect(messages.after(0).map(({ text, isText }) => [text, isText])).toEqual([
    ['81a2ff00', false],
    ['4100', false],
    [null, true],
  ])
})

test.each([
  ['{"token":"at_abcdefghijklmnopqrstuvwxyz","temp":18.2}', '{"token":"•••","temp":18.2}'],
  [
    '{"wifi":{"ssid":"barn","Password" : "three hops \\" and more"},"t":1}',
    '{"wifi":{"ssid":"barn","Password" : "•••"},"t":1}',
  ],
  ['{"api_key":12345}', '{"api_key":"•••"}'],
  ['{"psk":null,"temp":18}', '{"psk":"•••","temp":18}'],
  ['{"device_secret":"cut in the mid', '{"device_secret":"•••"'],
  ['my token is at_AbCdEf-hijklmnopqrstuvwxyz_0123456789ABCDEFG!', 'my token is at_•••!'],
  ['{"temp":18.2,"status":"passed"}', '{"temp":18.2,"status":"passed"}'],
])('secrets in %s are blotted out', (text, shown) => {
  const messages = new HeardMessages(clock)
  messages.hear(heard({ text }))
  expect(messages.after(0)[0]?.text).toBe(shown)
})

test('secrets in addresses and in what a refusal quotes are blotted out', () => {
  const messages = new HeardMessages(clock)
  const message = 'At “at_abcdefghijklmnopqrstuvwxyz” should stand a number.'
  messages.hear(
    heard({
      where: '/readings?vessel=Bucket&token=at_abcdefghijklmnopqrstuvwxyz&x=1',
      refused: [{ index: 0, code: 'wrong-shape', message }],
    }),
  )
  expect(messages.after(0)).toMatchObject([
    {
      where: '/readings?vessel=Bucket&token=•••&x=1',
      refused: [{ message: 'At “at_•••” should stand a number.' }],
    },
  ])
})
