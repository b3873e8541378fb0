import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { HandClock } from '../../alarms/testing/hand-clock.ts'
import { PaperStore } from '../../alarms/testing/paper-store.ts'
import { type Notifier, openNotifier } from '../notifier.ts'
import { alarmChange, EVENING_MS } from '../testing/alarm-changes.ts'
import { PushService, readAuthorization } from '../testing/push-service.ts'
import type { DeviceFault, PushDevice } from './push-devices.ts'

const LIMIT = alarmChange('raised', 'limit-broken')
const LOST = alarmChange('raised', 'instrument-lost', { id: 2, subject: 'Probe' })

let service: PushService
let clock: HandClock
let store: PaperStore
let notifier: Notifier
const troubles: string[] = []

function open() {
  notifier = openNotifier({
    store,
    clock,
    timers: clock,
    localOffset_s: () => 0,
    mayPushToLoopback: true,
  })
  notifier.watchChannels((channel, problem) => troubles.push(`${channel}: ${problem ?? 'works'}`))
}

beforeEach(async () => {
  service = await PushService.open()
  clock = new HandClock(EVENING_MS)
  store = new PaperStore()
  troubles.length = 0
  open()
})
afterEach(async () => {
  await notifier.close()
  await service.close()
  expect(service.faults).toEqual([])
})

function add(name: string, who = 'Kim', path = `/box/${name}`): PushDevice {
  const { endpoint, keys } = service.subscription(path)
  const added: PushDevice | DeviceFault = notifier.devices.add({ who, name, endpoint, ...keys })
  if ('fault' in added) throw new Error(added.fault)
  return added
}

async function tell(...changes: (typeof LIMIT)[]) {
  notifier.notify(changes)
  await notifier.settled()
}

describe('by web push', () => {
  it('a device that was added is told, without a line in the settings', async () => {
    add('Telephone')
    await tell(LIMIT)
    const [push] = service.caught
    expect(push?.path).toBe('/box/Telephone')
    expect(push?.headers).toMatchObject({
      'content-encoding': 'aes128gcm',
      ttl: '86400',
      urgency: 'high',
      topic: 'alarm-1',
    })
    expect(readAuthorization(push?.headers.authorization ?? '')).toMatchObject({
      key: notifier.pushKey,
      claims: { aud: service.origin },
    })
    expect(JSON.parse(push?.text ?? '')).toMatchObject({
      kind: 'raised',
      priority: 'high',
      subject: 'Garage, Amber: the beer is warmer than the highest limit.',
      alarm: 1,
      batch: '2026-11-20-amber',
      link: null,
    })
    expect(notifier.channels()).toMatchObject([
      { name: 'devices', kind: 'push', where: '1 device', told: ['Telephone'], waiting: 0, problem: null },
    ])
  })

  it('a row of the settings is about the devices of that name or person; others are told everything', async () => {
    const settings = `
link: https://cellar.example
channels: [ { channel: pockets, push: { contact: kim@example.org } } ]
tell:
  - { who: Kim, by: pockets, from priority: high }
  - { who: Tablet, by: pockets, quiet hours: { from: 19:00, to: 07:00 } }
`
    expect(notifier.useSettings(settings, 'Kim')).toEqual([])
    add('Telephone', 'Kim')
    add('Tablet', 'Sam')
    add('Desk', 'Sam')
    await tell(LOST)
    expect(service.caught.map(({ path }) => path)).toEqual(['/box/Desk'])
    await tell(LIMIT)
    expect(service.caught.map(({ path }) => path).sort()).toEqual([
      '/box/Desk',
      '/box/Desk',
      '/box/Tablet',
      '/box/Telephone',
    ])
    const { headers, text } = service.caught.at(-1)!
    expect(JSON.parse(text)).toMatchObject({ link: 'https://cellar.example/#/batch/2026-11-20-amber' })
    expect(readAuthorization(headers.authorization ?? '')?.claims).toMatchObject({
      sub: 'mailto:kim@example.org',
    })
  })

  it('without a contact the push service is told where the cellar is, if that may be known', async () => {
    for (const [link, sub] of [
      ['https://cellar.example', 'https://cellar.example'],
      ['http://192.168.1.20:1050', undefined],
    ]) {
      expect(notifier.useSettings(`link: ${link}`, 'Kim')).toEqual([])
      await notifier.tryDevice(add('Telephone'))
      const claims = readAuthorization(service.caught.at(-1)?.headers.authorization ?? '')?.claims
      expect((claims as { sub?: string }).sub).toBe(sub)
    }
  })

  it.each([404, 410])(
    'a device that its push service does not know any more (%d) is forgotten',
    async status => {
      add('Old telephone')
      add('Tablet')
      service.statuses = [status, 201]
      await tell(LIMIT)
      await notifier.settled()
      expect(notifier.devices.all.map(({ name }) => name)).toEqual(['Tablet'])
      expect(service.caught.length).toBe(2)
      expect(store.entries.at(-1)).toMatchObject({
        who: 'the push service',
        what: 'lets “Old telephone” be told of alarms no more',
      })
      expect(notifier.channels()).toMatchObject([{ waiting: 0, problem: null }])
      expect(troubles).toEqual([])
    },
  )

  it('a push service that refuses is told of as a failing channel, and tried again', async () => {
    add('Telephone')
    service.statuses = [503, 503, 201]
    await tell(LIMIT)
    clock.pass(5)
    await notifier.settled()
    expect(troubles.at(-1)).toMatch(
      /^devices: 127\.0\.0\.1:\d+ answered 503 for “Telephone”\. It is tried again/,
    )
    clock.pass(30)
    await notifier.settled()
    expect(troubles.at(-1)).toBe('devices: works')
    expect(notifier.channels()).toMatchObject([{ waiting: 0, problem: null }])
  })

  it('each device can be tried, and says how it went', async () => {
    const device = add('Telephone')
    add('Tablet')
    expect(await notifier.tryDevice(device)).toEqual({
      ok: true,
      sentence: 'The push service took a test message for “Telephone”.',
    })
    expect(service.caught.map(({ path }) => path)).toEqual(['/box/Telephone'])
    service.statuses = [403]
    expect(await notifier.tryDevice(device)).toMatchObject({
      ok: false,
      sentence: expect.stringMatching(/answered 403 for “Telephone”\. Remove the device and add it anew/),
    })
    service.statuses = [410, 201]
    expect(await notifier.tryDevice(device)).toMatchObject({ ok: false, sentence: /was removed/ })
    expect(notifier.devices.all.map(({ name }) => name)).toEqual(['Tablet'])
    expect(await notifier.tryChannel('devices')).toEqual({
      ok: true,
      sentence: '“devices” works: 1 device took a test message.',
    })
  })

  it('devices and the key outlast a restart; the same browser is kept once, with its new name', async () => {
    const { id } = add('Telephone')
    const key = notifier.pushKey
    await notifier.close()
    open()
    expect(notifier.pushKey).toBe(key)
    expect(add('Kitchen telephone', 'Sam', '/box/Telephone').id).toBe(id)
    expect(notifier.devices.all.map(({ name }) => name)).toEqual(['Kitchen telephone'])
    await tell(LIMIT)
    expect(service.caught.length).toBe(1)
  })

  it('a long question is cut to what a push service takes', async () => {
    add('Telephone')
    const detail = `may Rest end? ${'ünd nöch '.repeat(2000)}`
    await tell(alarmChange('raised', 'question-open', { id: 3, subject: '1', detail }))
    const { text } = JSON.parse(service.caught[0]!.text) as { text: string }
    expect(text).toMatch(/^Why: .*ünd nöch.*…$/s)
  })

  it('when the last device goes, nobody is told and the channel goes with it', async () => {
    const { id } = add('Telephone')
    expect(notifier.devices.remove(id, 'Kim')).toBe(true)
    expect(notifier.devices.remove(id, 'Kim')).toBe(false)
    await tell(LIMIT)
    expect([service.caught, notifier.channels()]).toEqual([[], []])
  })
})

describe('a subscription', () => {
  it.each([
    [
      'an address in the house',
      { endpoint: 'https://192.168.1.1/x' },
      '/endpoint leads into an inner network.',
    ],
    ['a key that is no point', { p256dh: 'BCVx' }, '/keys/p256dh is no public key of P-256.'],
    [
      'a point off the curve',
      { p256dh: Buffer.from([4, ...Array.from({ length: 64 }, () => 7)]).toString('base64url') },
      '/keys/p256dh is no public key of P-256.',
    ],
    ['a short secret', { auth: 'AAAA' }, '/keys/auth has not 16 bytes.'],
  ])('with %s is refused', (_, part, fault) => {
    const { endpoint, keys } = service.subscription()
    const added = notifier.devices.add({ who: 'Kim', name: 'Telephone', endpoint, ...keys, ...part })
    expect(added).toMatchObject({ fault, cure: expect.stringMatching(/\.$/) })
    expect(notifier.devices.all).toEqual([])
  })

  it('of more devices than anybody has is refused', () => {
    for (let number = 0; number < 50; number++) add(`Device ${number}`)
    expect(() => add('One more')).toThrow('50 devices are told already.')
    add('Renamed', 'Kim', '/box/Device 7')
    expect(notifier.devices.all.length).toBe(50)
  })
})
