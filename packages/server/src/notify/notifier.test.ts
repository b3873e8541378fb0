import { createHmac } from 'node:crypto'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { HandClock } from '../alarms/testing/hand-clock.ts'
import { PaperStore } from '../alarms/testing/paper-store.ts'
import { type Notifier, openNotifier } from './notifier.ts'
import { OUTBOX_DOCUMENT } from './outbox-document.ts'
import { alarmChange, EVENING_MS } from './testing/alarm-changes.ts'
import { HookReceiver } from './testing/hook-receiver.ts'
import { SmtpSink } from './testing/smtp-sink.ts'

/** The software between a store that stays and servers that come and go. */
class Bench {
  readonly clock = new HandClock(EVENING_MS)
  readonly store = new PaperStore()
  readonly published: string[] = []
  readonly troubles: string[] = []
  brokerProblem: string | null = null
  notifier: Notifier

  constructor(settings: string) {
    this.notifier = this.#open()
    expect(this.notifier.useSettings(settings, 'Kim')).toEqual([])
  }

  /** Stops and starts again; `kill`: without a word. */
  async restart(kill = false): Promise<void> {
    if (kill) this.clock.forget()
    else await this.notifier.close()
    this.notifier = this.#open()
  }

  /** Lets time pass, and what was begun on the way come back. */
  async pass(for_s: number): Promise<void> {
    this.clock.pass(for_s)
    await this.notifier.settled()
  }

  get waiting(): number {
    return this.notifier.channels().reduce((sum, { waiting }) => sum + waiting, 0)
  }

  #open(): Notifier {
    const notifier = openNotifier({
      store: this.store,
      clock: this.clock,
      timers: this.clock,
      localOffset_s: () => 3600,
      publish: (topic, text) => {
        if (this.brokerProblem !== null) throw new Error(this.brokerProblem)
        this.published.push(`${topic} ${text}`)
      },
      onTrouble: ({ kind }) => this.troubles.push(kind),
    })
    notifier.watchChannels((channel, problem) =>
      this.troubles.push(`${channel}: ${problem === null ? 'works' : problem.split('.')[0]}`),
    )
    return notifier
  }
}

const LIMIT = alarmChange('raised', 'limit-broken')
const LOST = alarmChange('raised', 'instrument-lost', { id: 2, subject: 'Probe' })
const QUESTION = alarmChange('raised', 'question-open', { id: 3, subject: '1', detail: 'may Rest end?' })

const mailTo = (port: number, more = '', channel = '') => `
channels:
  - channel: mail
    e-mail: { server: 127.0.0.1, port: ${port}, security: none, from: cellar@example.org${channel} }
tell:
  - { who: Kim, by: mail, to: kim@example.org${more} }
`
const hookAt = (url: string, more = '') => `
channels: [ { channel: house, webhook: { url: "${url}"${more} } } ]
tell: [ { who: Kim, by: house } ]
`
const BELL = `
channels: [ { channel: bell, mqtt: { topic: attemper/alarms } } ]
tell: [ { who: Kim, by: bell, quiet hours: { from: 22:00, to: 07:00 } } ]
`

let sink: SmtpSink
let receiver: HookReceiver
beforeEach(async () => {
  sink = await SmtpSink.open()
  receiver = await HookReceiver.open()
})
afterEach(async () => {
  await sink.close()
  await receiver.close()
})

/** A body as it was before it was made fit for the wire (quoted-printable, RFC 2045). */
function decoded(raw: string): string {
  const [head = '', ...body] = raw.split('\n\n')
  const text = body.join('\n\n')
  if (!/quoted-printable/i.test(head)) return text
  const bytes = text
    .replaceAll('=\n', '')
    .replace(/=([0-9A-F]{2})/g, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)))
  return Buffer.from(bytes, 'latin1').toString('utf8')
}

it('a message that waited on a clock that was years ahead is sent when that is put right', async () => {
  const bench = new Bench(BELL)
  const years_s = 5 * 365 * 86_400
  bench.clock.putClock(years_s)
  bench.brokerProblem = 'no broker'
  bench.notifier.notify([LIMIT])
  await bench.pass(1)
  bench.brokerProblem = null
  bench.clock.putClock(-years_s)
  await bench.pass(60)
  expect(bench.published).toHaveLength(1)
  expect(bench.waiting).toBe(0)
})

describe('by e-mail', () => {
  it('an alarm arrives as a plain text marked as made by a machine', async () => {
    const bench = new Bench(mailTo(sink.port, '', ', user: cellar, password: secret'))
    bench.notifier.notify([LIMIT])
    const [mail] = await sink.caught(1)
    await bench.notifier.settled()
    expect(mail).toMatchObject({ from: 'cellar@example.org', to: ['kim@example.org'], user: 'cellar' })
    const head = mail!.raw.split('\n\n')[0]!
    expect(head).toContain('Subject: Garage, Amber: the beer is warmer than the highest limit.')
    expect(head).toMatch(/^Content-Type: text\/plain/m)
    expect(head).toMatch(/^Auto-Submitted: auto-generated/m)
    expect(head).toMatch(/^Importance: High/im)
    expect(decoded(mail!.raw)).toContain('When: 24 November 2026 at 21:00, local time (UTC+1)')
    expect(bench.waiting).toBe(0)
  })

  it('letters beyond ASCII survive in subject and text', async () => {
    const bench = new Bench(mailTo(sink.port))
    const place = { batch: 'b', vessel: 'Gärkeller', name: 'Kölsch' }
    bench.notifier.notify([alarmChange('raised', 'limit-broken', { place })])
    const [mail] = await sink.caught(1)
    const subject = /^Subject: (.*(?:\n .*)*)/m.exec(mail!.raw)![1]!
    const words = [...subject.matchAll(/=\?UTF-8\?Q\?(.*?)\?=/gi)].map(([, word]) =>
      word!
        .replaceAll('_', ' ')
        .replace(/=([0-9A-F]{2})/g, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16))),
    )
    const plain = words.length === 0 ? subject : subject.replace(/=\?.*\?=/s, words.join(''))
    expect(Buffer.from(plain, 'latin1').toString('utf8')).toContain('Gärkeller, Kölsch: the beer')
    expect(decoded(mail!.raw)).toContain('vessel Gärkeller, batch Kölsch')
    await bench.notifier.settled()
  })

  it('what became due together comes as one message, the most urgent first', async () => {
    const bench = new Bench(mailTo(sink.port))
    bench.notifier.notify([QUESTION, LOST, LIMIT])
    await sink.caught(1)
    await bench.notifier.settled()
    expect(sink.mails).toHaveLength(1)
    expect(sink.mails[0]!.raw).toContain('Subject: 3 messages, the first: Garage, Amber: the beer is warmer')
    expect(decoded(sink.mails[0]!.raw).match(/^Why: /gm)).toHaveLength(3)
  })

  it('what can not be sent waits, also through a restart, and the trouble is told once', async () => {
    const { port } = sink
    await sink.close()
    const bench = new Bench(mailTo(port))
    bench.notifier.notify([LIMIT])
    await bench.notifier.settled()
    expect(bench.troubles).toEqual([])
    await bench.pass(6)
    await bench.pass(31)
    expect(bench.troubles).toEqual(['mail: 127'])
    expect(bench.notifier.channels()).toMatchObject([
      {
        waiting: 1,
        problem: expect.stringMatching(
          /refuses the connection\. Check host and port.*Not sent: Garage, Amber/,
        ),
      },
    ])
    await bench.restart(true)
    expect(bench.troubles).toEqual(['mail: 127', 'mail: 127'])
    await bench.notifier.settled()
    expect(bench.waiting).toBe(1)
    sink = await SmtpSink.open(port)
    await bench.pass(700)
    expect(sink.mails).toHaveLength(1)
    expect(bench.waiting).toBe(0)
    expect(bench.troubles.at(-1)).toBe('mail: works')
  })

  it('one address that is refused does not keep others from being told', async () => {
    sink.answers = { 'RCPT TO:<gone@': '550 no such user' }
    const bench = new Bench(`${mailTo(sink.port)}  - { who: Lea, by: mail, to: gone@example.org }\n`)
    bench.notifier.notify([LIMIT])
    for (let i = 0; i < 4; i++) await bench.pass(700)
    expect(sink.mails.map(({ to }) => to)).toEqual([['kim@example.org']])
    expect(bench.waiting).toBe(1)
    expect(bench.notifier.channels()[0]!.problem).toMatch(
      /does not take mail for gone@example.org \(.*550 no such user\)/,
    )
  })

  it('encryption that was asked for and is not offered keeps the message back', async () => {
    const settings = mailTo(sink.port).replace('security: none', 'security: starttls')
    const trial = await new Bench(settings).notifier.tryChannel('mail')
    expect(trial.ok).toBe(false)
    expect(trial.sentence).toMatch(
      /^“mail” does not work: 127.0.0.1 offers no encryption that can be trusted/,
    )
    expect(sink.mails).toEqual([])
  })

  it('a server that says nothing holds nobody up, and stopping does not wait for it', async () => {
    sink.isMute = true
    const bench = new Bench(
      `${mailTo(sink.port)}  - { who: Kim, by: bell }\n`.replace(
        'channels:',
        'channels:\n  - { channel: bell, mqtt: { topic: a } }',
      ),
    )
    bench.notifier.notify([LIMIT])
    await new Promise<void>(resolve => {
      const look = () => (sink.connections > 0 ? resolve() : setImmediate(look))
      look()
    })
    expect(bench.published).toHaveLength(1)
    await bench.notifier.close()
    expect(JSON.parse(bench.store.getDocument(OUTBOX_DOCUMENT)!).parcels).toHaveLength(1)
  })
})

describe('by webhook', () => {
  it('an alarm arrives as signed JSON', async () => {
    const bench = new Bench(hookAt(receiver.url, ', secret: wet barley sack'))
    bench.notifier.notify([LIMIT])
    await bench.notifier.settled()
    const [post] = receiver.posts
    expect(post!.headers['content-type']).toBe('application/json')
    // RFC 2104, computed anew from what arrived.
    const expected = createHmac('sha256', 'wet barley sack').update(post!.body).digest('hex')
    expect(post!.headers['attemper-signature']).toBe(`sha256=${expected}`)
    expect(JSON.parse(post!.body)).toEqual({
      id: expect.stringMatching(/^attemper\./),
      kind: 'raised',
      priority: 'high',
      at: '2026-11-24T20:00:00.000Z',
      sent_at: '2026-11-24T20:00:00.000Z',
      subject: 'Garage, Amber: the beer is warmer than the highest limit.',
      text: expect.stringContaining('What to do: '),
      alarm: { id: 1, code: 'limit-broken', subject: 'highest' },
      vessel: 'Garage',
      batch: '2026-11-20-amber',
      link: null,
    })
  })

  it('is tried again after longer and longer times, with the same id', async () => {
    receiver.statuses = [500, 503, 500, 200]
    const bench = new Bench(hookAt(receiver.url))
    bench.notifier.notify([LIMIT])
    await bench.notifier.settled()
    for (const [wait_s, count] of [
      [4, 1],
      [1, 2],
      [29, 2],
      [1, 3],
      [119, 3],
      [1, 4],
    ] as const) {
      await bench.pass(wait_s)
      expect(receiver.posts).toHaveLength(count)
    }
    expect(new Set(receiver.posts.map(({ body }) => JSON.parse(body).id)).size).toBe(1)
    expect(bench.waiting).toBe(0)
    expect(bench.troubles).toEqual(['house: 127', 'house: works'])
  })

  it('does not follow to another address', async () => {
    receiver.statuses = [307]
    const { sentence } = await new Bench(hookAt(receiver.url, ', secret: x')).notifier.tryChannel('house')
    expect(sentence).toMatch(/answered 307\. Write the address to which it redirects\.$/)
  })

  it.each([
    ['http://127.0.0.1:1/x', 'has a port that belongs to another service'],
    ['http://127.0.0.1:2/x', 'refuses the connection'],
    ['http://nowhere.invalid/x', 'is not found'],
    ['https://127.0.0.1:PORT/x', 'offers no encryption that can be trusted'],
  ])('says of %s that it %s', async (address, said) => {
    const url = address.replace('PORT', new URL(receiver.url).port)
    const { ok, sentence } = await new Bench(hookAt(url)).notifier.tryChannel('house')
    expect(ok).toBe(false)
    expect(sentence).toContain(`${new URL(url).host} ${said}. `)
  })

  it('gives up on an answer that does not come', async () => {
    receiver.statuses = [null]
    const { sentence } = await new Bench(hookAt(receiver.url, ', timeout: 1 s')).notifier.tryChannel('house')
    expect(sentence).toContain('does not answer in time')
  })
})

describe('by MQTT', () => {
  it('an alarm is published, and a broker that refuses is told of', async () => {
    const bench = new Bench(BELL)
    bench.brokerProblem = 'closed'
    bench.notifier.notify([LIMIT])
    await bench.notifier.settled()
    await bench.pass(6)
    expect(bench.troubles).toEqual(['bell: the broker did not take it (closed)'])
    bench.brokerProblem = null
    await bench.pass(31)
    expect(bench.published).toHaveLength(1)
    expect(bench.published[0]).toMatch(/^attemper\/alarms \{"id":"attemper\.\d+\.1\.1\.1","kind":"raised"/)
  })

  it('without a broker says so', async () => {
    const clock = new HandClock(EVENING_MS)
    const notifier = openNotifier({ store: new PaperStore(), clock, timers: clock, localOffset_s: () => 0 })
    notifier.useSettings(BELL, 'Kim')
    expect((await notifier.tryChannel('bell')).sentence).toContain('there is no MQTT broker')
  })
})

describe('in quiet hours (local 22:00 to 07:00; it is 21:00)', () => {
  it('only high priority passes; the rest comes in the morning', async () => {
    const bench = new Bench(BELL)
    await bench.pass(4 * 3600)
    bench.notifier.notify([LOST])
    bench.notifier.notify([LIMIT])
    await bench.notifier.settled()
    expect(bench.published.map(codeOf)).toEqual(['limit-broken'])
    await bench.pass(6 * 3600 - 1)
    expect(bench.published).toHaveLength(1)
    await bench.pass(1)
    expect(bench.published.map(codeOf)).toEqual(['limit-broken', 'instrument-lost'])
  })

  it('what somebody has seen, or is over for good, is not told in the morning', async () => {
    const bench = new Bench(BELL)
    await bench.pass(2 * 3600)
    bench.notifier.notify([LOST, QUESTION])
    bench.notifier.notify([alarmChange('acknowledged', 'instrument-lost', { id: 2 }, 'Sam')])
    bench.notifier.notify([alarmChange('cleared', 'question-open', { id: 3 })])
    expect(bench.waiting).toBe(0)
    await bench.pass(24 * 3600)
    expect(bench.published).toEqual([])
  })

  it('a restart in the night changes nothing about that', async () => {
    const bench = new Bench(BELL)
    await bench.pass(2 * 3600)
    bench.notifier.notify([LOST])
    await bench.restart()
    await bench.pass(7 * 3600)
    expect(bench.published).toEqual([])
    await bench.pass(3600)
    expect(bench.published.map(codeOf)).toEqual(['instrument-lost'])
  })
})

describe('who is told what', () => {
  const TWO = `
channels: [ { channel: a, mqtt: { topic: a } }, { channel: b, mqtt: { topic: b } } ]
tell:
  - { who: Kim, by: a, from priority: medium }
  - { who: Sam, by: b, from priority: high, when over: false }
  - { who: Lea, by: b, from priority: high, when over: false }
`
  const topics = (bench: Bench) => bench.published.map(each => each.slice(0, 1)).sort()

  it('goes by priority, and each place is told once', async () => {
    const bench = new Bench(TWO)
    bench.notifier.notify([LIMIT])
    await bench.notifier.settled()
    expect(topics(bench)).toEqual(['a', 'b'])
    bench.notifier.notify([LOST, QUESTION])
    await bench.notifier.settled()
    expect(topics(bench)).toEqual(['a', 'a', 'b'])
  })

  it('that it is over only to those who want it; nothing about what somebody has done', async () => {
    const bench = new Bench(TWO)
    bench.notifier.notify([
      alarmChange('returned', 'limit-broken'),
      alarmChange('cleared', 'limit-broken', {}, 'Kim'),
    ])
    expect(bench.published).toEqual([])
    bench.notifier.notify([alarmChange('returned', 'limit-broken')])
    bench.notifier.notify([alarmChange('unshelved', 'limit-broken', {}, 'Kim')])
    await bench.notifier.settled()
    expect(topics(bench)).toEqual(['a'])
    bench.notifier.notify([alarmChange('unshelved', 'limit-broken')])
    await bench.notifier.settled()
    expect(topics(bench)).toEqual(['a', 'a', 'b'])
  })

  it('that a channel fails reaches everybody by the others', async () => {
    const bench = new Bench(TWO)
    bench.notifier.notify([alarmChange('raised', 'channel-failed', { subject: 'a', place: null })])
    await bench.notifier.settled()
    expect(topics(bench)).toEqual(['b'])
  })
})

describe('the outbox', () => {
  it('is bounded in number, and keeps the urgent ones', async () => {
    const bench = new Bench(BELL)
    await bench.pass(2 * 3600)
    bench.brokerProblem = 'away'
    bench.notifier.notify(
      Array.from({ length: 1000 }, (_, i) => alarmChange('raised', 'question-open', { id: 10 + i })),
    )
    bench.notifier.notify([LIMIT])
    await bench.notifier.settled()
    expect(bench.waiting).toBe(300)
    expect(bench.notifier.dropped()).toBe(701)
    expect(bench.store.getDocument(OUTBOX_DOCUMENT)).toContain('limit-broken')
  })

  it('is bounded in age', async () => {
    const bench = new Bench(BELL)
    bench.brokerProblem = 'away'
    bench.notifier.notify([LIMIT])
    for (let i = 0; i < 50; i++) await bench.pass(3600)
    expect(bench.waiting).toBe(0)
    expect(bench.clock.waiting).toBe(0)
  })

  it('on a full disk is kept in memory, and all is told', async () => {
    const bench = new Bench(BELL)
    bench.store.isFull = true
    bench.notifier.notify([LIMIT, LOST])
    await bench.notifier.settled()
    expect(bench.published).toHaveLength(2)
    expect(bench.troubles).toEqual(['records failing'])
    bench.store.isFull = false
    bench.notifier.notify([LIMIT])
    await bench.notifier.settled()
    expect(bench.troubles).toEqual(['records failing', 'records kept again'])
  })

  it('of garbage is empty', () => {
    const clock = new HandClock(EVENING_MS)
    const parcel = {
      id: 1,
      channel: 'bell',
      to: null,
      made_ms: 0,
      due_ms: 0,
      attempts: 0,
      message: { kind: 'raised' },
    }
    for (const text of [
      '',
      '{',
      'null',
      '{"version":1,"nextId":2,"parcels":5}',
      JSON.stringify({ version: 1, nextId: 2, parcels: [null, 7, parcel], troubles: { bell: 7 } }),
    ]) {
      const store = new PaperStore()
      store.documents.set(OUTBOX_DOCUMENT, text)
      store.documents.set('notify.yaml', BELL)
      const notifier = openNotifier({ store, clock, timers: clock, localOffset_s: () => 0 })
      expect(notifier.channels()).toMatchObject([{ waiting: 0, problem: null }])
    }
  })

  it('sends at once what waited, when the settings are mended', async () => {
    const bench = new Bench(hookAt('http://127.0.0.1:1/nobody'))
    bench.notifier.notify([LIMIT])
    for (let i = 0; i < 3; i++) await bench.pass(200)
    expect(bench.troubles).toHaveLength(1)
    bench.notifier.useSettings(hookAt(receiver.url), 'Kim')
    await bench.notifier.settled()
    expect(receiver.posts).toHaveLength(1)
    expect(bench.troubles.at(-1)).toBe('house: works')
  })

  it('forgets what was for a channel that is no more', async () => {
    const bench = new Bench(hookAt('http://127.0.0.1:1/nobody'))
    bench.notifier.notify([LIMIT])
    for (let i = 0; i < 3; i++) await bench.pass(200)
    bench.notifier.useSettings(BELL, 'Kim')
    expect(bench.waiting).toBe(0)
    expect(bench.troubles.at(-1)).toBe('house: works')
  })
})

describe('trying a channel', () => {
  it('sends a test to everybody who is told by it, and says so', async () => {
    const bench = new Bench(`${mailTo(sink.port)}  - { who: Sam, by: mail, to: sam@example.org }\n`)
    expect(await bench.notifier.tryChannel('mail')).toEqual({
      ok: true,
      sentence: '“mail” works: 127.0.0.1 took a test message for kim@example.org and sam@example.org.',
    })
    expect(sink.mails.map(({ to }) => to[0]).sort()).toEqual(['kim@example.org', 'sam@example.org'])
    expect(sink.mails[0]!.raw).toContain('Subject: A test: alarms of the cellar arrive here.')
  })

  it('is remembered with its time, over a restart, until the channel becomes another', async () => {
    const bench = new Bench(BELL)
    const tried = () => bench.notifier.channels().map(({ took_ms, failed_ms }) => [took_ms, failed_ms])
    expect(tried()).toEqual([[null, null]])
    bench.brokerProblem = 'away'
    await bench.notifier.tryChannel('bell')
    await bench.pass(60)
    bench.brokerProblem = null
    bench.notifier.notify([LIMIT])
    await bench.notifier.settled()
    await bench.restart()
    expect(tried()).toEqual([[EVENING_MS + 60_000, EVENING_MS]])
    bench.notifier.useSettings(BELL.replace('Kim', 'Sam'), 'Kim')
    expect(tried()).toEqual([[EVENING_MS + 60_000, EVENING_MS]])
    bench.notifier.useSettings(BELL.replace('attemper/alarms', 'attemper/bell'), 'Kim')
    expect(tried()).toEqual([[null, null]])
  })

  it('says what does not work and what to do', async () => {
    sink.answers = { 'AUTH PLAIN': '535 bad password' }
    const bench = new Bench(mailTo(sink.port, '', ', user: u, password: p'))
    expect(await bench.notifier.tryChannel('mail')).toEqual({
      ok: false,
      sentence: expect.stringMatching(
        /^“mail” does not work: 127.0.0.1 does not accept user and password \(535 bad password\)\. Check “user” and “password”\.$/,
      ),
    })
  })

  it('knows what there is', async () => {
    const bench = new Bench(BELL)
    expect((await bench.notifier.tryChannel('bel')).sentence).toBe(
      'There is no channel “bel”. There are: bell.',
    )
    bench.notifier.useSettings('', 'Kim')
    expect((await bench.notifier.tryChannel('bell')).sentence).toContain('No channel has been set up.')
    bench.notifier.useSettings(mailTo(sink.port).split('tell:')[0]!, 'Kim')
    expect((await bench.notifier.tryChannel('mail')).sentence).toContain('Nobody is told by “mail”.')
  })
})

describe('settings', () => {
  it('with errors change nothing; good ones stay through a restart, and the change is recorded', async () => {
    const bench = new Bench(BELL)
    const findings = bench.notifier.useSettings('channels: [ { channel: bell } ]', 'Sam')
    expect(findings).toMatchObject([{ severity: 'error', code: 'missing-key', line: 1 }])
    await bench.restart()
    expect(bench.notifier.settingsText()).toBe(BELL)
    expect(bench.notifier.channels()).toMatchObject([
      {
        name: 'bell',
        kind: 'mqtt',
        where: 'topic attemper/alarms',
        told: ['Kim'],
        waiting: 0,
        problem: null,
      },
    ])
    expect(bench.store.entries).toEqual([
      { at_ms: EVENING_MS, who: 'Kim', what: 'changed who is told of alarms, and how' },
    ])
  })
})

function codeOf(published: string): string {
  return (JSON.parse(published.slice(published.indexOf('{'))) as { alarm: { code: string } }).alarm.code
}
