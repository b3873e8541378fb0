import { connectAsync } from 'mqtt'
import { expect, test } from 'vitest'
import { REAL_CLOCK } from '../../live/clock.ts'
import { HeardMessages } from '../heard-messages.ts'
import { testIntake, testVessel } from '../testing/heard.ts'
import { embeddedBroker } from './embedded-broker.ts'

test('what came by MQTT is heard, taken or not, on topics that nobody waits for too', async () => {
  const heard = new HeardMessages(REAL_CLOCK)
  const door = await embeddedBroker({
    ...{ port: 0, host: '127.0.0.1', clock: REAL_CLOCK, intake: testIntake() },
    vessels: () => [testVessel()],
    onHeard: message => heard.hear(message),
  })
  const client = await connectAsync(`mqtt://127.0.0.1:${door.port}`, { clientId: 'float-1' })
  const send = (topic: string, text: string) => client.publishAsync(topic, text, { qos: 1 })
  await send('attemper/garage-fridge/probe/beer', '18.2')
  await send('attemper/cask/probe/beer', '18.3')
  await send('attemper/garage-fridge/probe', '18.4')
  await send('float/1/state', '{"sg":1.012}')
  await client.endAsync()
  await door.close()
  expect(heard.after(0)).toMatchObject([
    {
      door: 'mqtt',
      where: 'attemper/garage-fridge/probe/beer',
      by: 'float-1',
      text: '18.2',
      readings: [{ vessel: 'Garage fridge', instrument: 'Probe', quantity: 'beer', value: 18.2 }],
      refused: [],
    },
    { text: '18.3', readings: [], refused: [{ code: 'unknown-vessel' }] },
    { text: '18.4', readings: [], refused: [{ code: 'wrong-shape' }] },
    { where: 'float/1/state', refused: [{ message: expect.stringContaining('names this topic') }] },
  ])
})

test('what a client may not publish is heard as refused', async () => {
  const heard = new HeardMessages(REAL_CLOCK)
  const door = await embeddedBroker({
    ...{ port: 0, host: '127.0.0.1', clock: REAL_CLOCK, intake: testIntake() },
    vessels: () => [testVessel()],
    authenticate: () => ({
      who: { name: 'device Float', kind: 'readings', vessel: 'Garage fridge' },
      isStillRight: () => true,
    }),
    onHeard: message => heard.hear(message),
  })
  const client = await connectAsync(`mqtt://127.0.0.1:${door.port}`, { reconnectPeriod: 0 })
  client.on('error', () => undefined)
  const closed = new Promise<void>(resolve => client.once('close', () => resolve()))
  client.publish('attemper/cask/probe/beer', '18.2', { qos: 1 })
  await closed
  await client.endAsync(true)
  await door.close()
  expect(heard.after(0)).toMatchObject([
    { text: '18.2', readings: [], refused: [{ message: expect.stringMatching(/^Not allowed: /) }] },
  ])
})
