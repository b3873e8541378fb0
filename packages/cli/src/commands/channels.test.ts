import { HookReceiver } from '@attemper/server/notify/testing/hook-receiver.ts'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CellarBench } from '../testing/cellar-bench.ts'
import { expectShape } from '../testing/expect-shape.ts'

let bench: CellarBench
let receiver: HookReceiver
beforeAll(async () => {
  bench = await CellarBench.open()
  receiver = await HookReceiver.open()
})
afterAll(async () => {
  await bench.close()
  await receiver.close()
})

const settings = () => `# who is told
channels:
  - channel: the house
    webhook: { url: "${receiver.url}" }
  - channel: bell
    mqtt: { topic: house/bell }
tell:
  - { who: Kim, by: the house }
  - { who: Sam, by: the house }
`

describe('before anything is set', () => {
  test('nobody is told, and it is said how to change that', async () => {
    expect((await bench.run(['channels'])).out).toMatch(/^Nobody is told of alarms: no channel is set up\./)
    expect((await bench.run(['channels', 'show'])).err).toContain('nobody is told')
    const tried = await bench.run(['channels', 'try', 'mail'])
    expect(tried.status).toBe(1)
    expect(tried.err).toContain('attemper channels set FILE')
  })
})

describe('settings', () => {
  test('with errors are shown with their places, and change nothing', async () => {
    bench.write('wrong.yaml', settings().replace('by: the house', 'by: the horse'))
    const { status, err, out } = await bench.run(['channels', 'set', 'wrong.yaml'])
    expect(status).toBe(1)
    expect(out).toBe('')
    expect(err).toMatch(/^wrong\.yaml:8:21: error not-a-choice$/m)
    expect(err).toContain('1 error: nothing was changed.')
    const asData = await bench.run(['channels', 'set', 'wrong.yaml', '--json'])
    expect(asData.status).toBe(1)
    expect(expectShape('channels', asData.out)).toMatchObject({
      set: false,
      findings: [{ file: 'wrong.yaml', line: 8, cure: 'There are: the house, bell.' }],
    })
    expect((await bench.run(['channels', 'show'])).out).toBe('')
  })

  test('that are faultless hold at once, and are kept as they were written', async () => {
    bench.write('notify.yaml', settings())
    const { status, out } = await bench.run(['channels', 'set', 'notify.yaml'])
    expect(status).toBe(0)
    expect(out).toContain("attemper channels try 'the house'")
    expect((await bench.run(['channels', 'show'])).out).toBe(settings())
    expect(expectShape('channels', (await bench.run(['channels', 'show', '--json'])).out).text).toBe(
      settings(),
    )
  })

  test('with a warning are taken, and the warning names the file', async () => {
    bench.write(
      'odd.yaml',
      settings().replace('Sam, by: the house', 'Sam, by: the house, to: sam@example.org'),
    )
    const { status, err } = await bench.run(['channels', 'set', 'odd.yaml'])
    expect(status).toBe(0)
    expect(err).toMatch(/^odd\.yaml:9:\d+: warning no-effect$/m)
    await bench.run(['channels', 'set', 'notify.yaml'])
  })
})

describe('each channel', () => {
  test('is listed with whom it tells, and whether it has been tried', async () => {
    const { out } = await bench.run(['channels'])
    expect(out).toMatch(/^Whether the house and bell work is not known yet\./)
    expect(out).toMatch(/the house {2}Posts to 127\.0\.0\.1:\d+, for Kim and Sam\. Not used yet/)
    expect(out).toContain('bell       MQTT, topic house/bell, but nobody is told by it. Not used yet.')
  })

  test('can be tried, and remembers how that went', async () => {
    const good = await bench.run(['channels', 'try', 'the house'])
    expect(good.status).toBe(0)
    expect(good.out).toMatch(/^“the house” works: 127\.0\.0\.1:\d+ took a test message\./)
    expect(JSON.parse(receiver.posts[0]!.body)).toMatchObject({ kind: 'test' })

    receiver.statuses = [500]
    const bad = await bench.run(['channels', 'try', 'the house', '--json'])
    expect(bad.status).toBe(1)
    expect(expectShape('channels', bad.out)).toMatchObject({
      channel: 'the house',
      ok: false,
      sentence: expect.stringContaining('500'),
    })
    const { channels } = expectShape('channels', (await bench.run(['channels', '--json'])).out)
    expect(channels[0].failed_ms).toBeGreaterThanOrEqual(channels[0].took_ms)
    expect(channels[1]).toMatchObject({ name: 'bell', told: [], took_ms: null, failed_ms: null })
    expect((await bench.run(['channels'])).out).toMatch(/^the house fails: alarms may not arrive\./)
  })

  test('of an unknown name is answered with those there are', async () => {
    const { status, err } = await bench.run(['channels', 'try', 'belle'])
    expect(status).toBe(1)
    expect(err).toContain('There are: the house, bell.')
    const missing = await bench.run(['channels', 'try'])
    expect(missing.status).toBe(2)
    expect(missing.err).toContain('There are: the house, bell.')
  })
})

test('what else is said is answered with what can be', async () => {
  const { status, err } = await bench.run(['channels', 'ring'])
  expect(status).toBe(2)
  expect(err).toContain('list, try, set or show')
})
