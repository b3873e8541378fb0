/**
 * A reference appliance: how a heater, a cooler or a thermostat of your own must behave towards the cellar. The contract stands in
 * docs/reference/appliance-contract.md. Software is never the only protection: read the cautions there first.
 *
 *   node examples/appliance/appliance.ts mqtt://127.0.0.1:1883 garage-fridge heater [PROGRAM]
 *
 * PROGRAM is called with the word on or off whenever the appliance is to be switched, for a thermostat with its target in °C
 * or off; without it the word is only printed.
 * MQTT_USERNAME and MQTT_PASSWORD are used when they are set.
 */
import { execFileSync } from 'node:child_process'
import { connect } from 'mqtt'
import { Lease } from './lease.ts'

/** How often it looks whether the lease has lapsed; it must not rest on a message that may never come. */
const LOOK_MS = 200

/** Also when nothing has changed: silence for longer than three minutes counts as a device that has died. */
const REPORT_MS = 60_000

const [broker, vessel, appliance, program] = process.argv.slice(2)
if (broker === undefined || vessel === undefined || appliance === undefined) {
  console.error('Usage: node appliance.ts BROKER VESSEL heater|cooler|thermostat [PROGRAM]')
  process.exit(2)
}

const topic = `attemper/${vessel}/appliance/${appliance}`
const lease = new Lease()
const steady_s = () => performance.now() / 1000
let done: string | null = null

/** What it does, and by which command: the cellar believes nothing else. */
function report(): void {
  const { fence } = lease
  if (!client.connected || fence === null || done === null) return
  const order =
    appliance === 'thermostat' ? { target: done === 'off' ? null : Number(done) } : { on: done === 'on' }
  client.publish(`${topic}/report`, JSON.stringify({ ...order, fence }))
}

/** When the program fails, it is tried again at the next look, so that "off" is not forgotten. */
function turn(order: boolean | number): void {
  const word = order === true ? 'on' : order === false ? 'off' : String(order)
  if (word === done) return
  try {
    if (program !== undefined) execFileSync(program, [word], { timeout: 10_000 })
    done = word
    console.log(word)
    report()
  } catch (problem) {
    done = null
    console.error(`It could not be set to ${word}: ${String(problem)}`)
  }
}

const look = () => turn(lease.orderAt(steady_s()))

const { MQTT_USERNAME: username, MQTT_PASSWORD: password } = process.env
const client = connect(broker, {
  ...(username === undefined ? {} : { username }),
  ...(password === undefined ? {} : { password }),
  // What was sent while it was away is old; the kept command is enough.
  clean: true,
})
// Off at the start, before anything has been heard.
look()
setInterval(look, LOOK_MS)

client.on('connect', () => {
  client.subscribe(topic, { qos: 1 })
  report()
})
client.on('message', (_, payload, { retain }) => {
  const reason = lease.hear(payload.toString(), retain, steady_s(), Date.now() / 1000)
  if (reason !== null) console.error(`A command is not obeyed: ${reason}.`)
  look()
  report()
})
setInterval(report, REPORT_MS)
// Without a connection it goes on until the lease lapses, and no longer.
client.on('error', ({ message }) => console.error(message))

for (const signal of ['SIGINT', 'SIGTERM'] as const) {
  process.on(signal, () => {
    turn(false)
    process.exit()
  })
}
