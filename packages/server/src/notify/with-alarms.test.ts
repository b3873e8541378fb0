import { expect, it } from 'vitest'
import { openAlarms } from '../alarms/alarm-keeper.ts'
import { HandClock } from '../alarms/testing/hand-clock.ts'
import { PaperStore } from '../alarms/testing/paper-store.ts'
import { openNotifier } from './notifier.ts'
import { EVENING_MS } from './testing/alarm-changes.ts'

/** Alarms and notices joined as main joins them. */
const PLACE = { batch: '2026-11-20-amber', vessel: 'Garage', name: 'Amber' }
const SETTINGS = `
channels:
  - { channel: house, webhook: { url: "http://127.0.0.1:1/nobody" } }
  - { channel: bell, mqtt: { topic: bell } }
tell:
  - { who: Kim, by: house }
  - { who: Kim, by: bell, from priority: high }
`

it('a channel that fails is told of by another one, once, also after a restart; and that it works again', async () => {
  const clock = new HandClock(EVENING_MS)
  const store = new PaperStore()
  const heard: string[] = []
  const open = () => {
    const notifier = openNotifier({
      store,
      clock,
      timers: clock,
      localOffset_s: () => 0,
      publish: (_, text) => {
        heard.push((JSON.parse(text) as { subject: string }).subject)
      },
    })
    const alarms = openAlarms({ store, clock, timers: clock, notify: changes => notifier.notify(changes) })
    notifier.watchChannels((subject, problem) => alarms.report({ code: 'channel-failed', subject }, problem))
    return { notifier, alarms }
  }
  const pass = async (cellar: ReturnType<typeof open>, times: number, for_s: number) => {
    for (let i = 0; i < times; i++) {
      clock.pass(for_s)
      await cellar.notifier.settled()
    }
  }
  const first = open()
  first.notifier.useSettings(SETTINGS, 'Kim')
  first.alarms.updateBatch(PLACE, [{ code: 'limit-broken', subject: 'highest' }])
  await pass(first, 40, 10)
  const told = [
    'Garage, Amber: the beer is warmer than the highest limit.',
    'Messages by house do not arrive.',
  ]
  expect(heard).toEqual(told)
  const failed = first.alarms.list().find(({ code }) => code === 'channel-failed')
  expect(failed?.detail).toMatch(/^127\.0\.0\.1:1 .*Not sent: Garage, Amber/)
  clock.forget()

  const second = open()
  second.alarms.updateBatch(PLACE, [{ code: 'limit-broken', subject: 'highest' }])
  second.alarms.settle()
  await pass(second, 100, 60)
  expect(heard).toEqual(told)

  second.notifier.useSettings(
    SETTINGS.replace('http://127.0.0.1:1/nobody', 'http://127.0.0.1:2/nobody'),
    'Kim',
  )
  second.notifier.useSettings(
    'channels: [ { channel: bell, mqtt: { topic: bell } } ]\ntell: [ { who: Kim, by: bell } ]',
    'Kim',
  )
  await pass(second, 2, 3700)
  expect(heard.slice(told.length)).toEqual(['Over: Messages by house do not arrive.'])
  await second.notifier.close()
  second.alarms.close()
})
