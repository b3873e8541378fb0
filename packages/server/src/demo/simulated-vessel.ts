/**
 * A simulated vessel, as a program of its own: it lives on the cellar's clock, sends readings and obeys commands through the
 * doors that real vessels use, and knows nothing of the cellar besides.
 *
 *   node simulated-vessel.ts --vessel FILE --beer FILE --broker HOST:PORT --http URL
 *     --origin MS --real-origin MS --speed N    the cellar's clock: it stood at --origin when the real one was at --real-origin
 *     --pitched S                               when yeast was pitched, seconds since 1970 on the cellar's clock
 *     [--seed N] [--username NAME --password TEXT] [--token TEXT]
 *
 * It ends when the program that started it ends.
 */
import { readFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import type { Command } from '@attemper/core/engine/contract.ts'
import type { ApplianceName } from '@attemper/core/engine/events.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { connect } from 'mqtt'
import { commandHeard, reportMessage } from '../doors/appliance/command-message.ts'
import { commandTopic, reportTopic } from '../doors/mqtt/topics.ts'
import { fastClock } from '../live/clock.ts'
import { VesselVoice } from './vessel-voice.ts'
import { VesselWorld } from './vessel-world.ts'

/** Real time between two looks at the clock. */
const TICK_MS = 50
/** Real time between two reports of an appliance. */
const REPORT_MS = 60_000
const APPLIANCES: readonly ApplianceName[] = ['heater', 'cooler', 'thermostat']

const { values } = parseArgs({
  options: {
    vessel: { type: 'string' },
    beer: { type: 'string' },
    broker: { type: 'string' },
    http: { type: 'string' },
    origin: { type: 'string' },
    'real-origin': { type: 'string' },
    speed: { type: 'string' },
    pitched: { type: 'string' },
    seed: { type: 'string', default: '1' },
    username: { type: 'string' },
    password: { type: 'string' },
    token: { type: 'string' },
  },
})

function option(
  name: 'vessel' | 'beer' | 'broker' | 'http' | 'origin' | 'real-origin' | 'speed' | 'pitched',
): string {
  const value = values[name]
  if (value !== undefined) return value
  throw new Error(`A simulated vessel needs --${name}; the first lines of its source list all options.`)
}

function number(name: 'origin' | 'real-origin' | 'speed' | 'pitched'): number {
  const value = Number(option(name))
  if (Number.isFinite(value)) return value
  throw new Error(`--${name} should be a number, not “${option(name)}”.`)
}

const { vessel, findings } = readVessel(readFileSync(option('vessel'), 'utf8'), option('vessel'))
const { beer, findings: about } = readBeer(readFileSync(option('beer'), 'utf8'), option('beer'))
if (vessel === null || beer === null) {
  throw new Error(
    [...findings, ...about].map(({ file, line, message }) => `${file}:${line}: ${message}`).join('\n'),
  )
}

const clock = fastClock(number('origin'), number('real-origin'), number('speed'))
const now_s = () => Math.floor(clock.now_ms() / 1000)

const world = new VesselWorld(vessel, beer, Math.floor(number('pitched')), Number(values.seed))
world.liveThrough(now_s())

const mqtt = connect(`mqtt://${option('broker')}`, {
  ...(values.username === undefined ? {} : { username: values.username }),
  ...(values.password === undefined ? {} : { password: values.password }),
})
const voice = new VesselVoice(vessel.name, mqtt, option('http'), values.token ?? null)
const obeyed = new Map<ApplianceName, Command>()
const liveOn = () => voice.say(world.advanceTo(now_s()))

mqtt.on('error', ({ message }) =>
  console.error(`${vessel.name}: the broker at ${option('broker')}: ${message}`),
)
mqtt.on('message', (topic, payload) => {
  const appliance = APPLIANCES.find(name => topic === commandTopic(vessel.name, name))
  if (appliance === undefined) return
  const command = commandHeard(appliance, payload.toString())
  liveOn()
  if (command === null) return
  world.obey(command)
  obeyed.set(appliance, command)
  report(appliance)
})

/** As the contract of an appliance asks: at each command, and each minute. */
function report(appliance: ApplianceName): void {
  const command = obeyed.get(appliance)
  if (command === undefined) return
  const order = command.appliance === 'thermostat' ? command.target_C : command.on
  const isOver = command.until_s <= now_s()
  const does = isOver ? (command.appliance === 'thermostat' ? null : false) : order
  mqtt.publish(reportTopic(vessel!.name, appliance), reportMessage(appliance, does, command.fence))
}
mqtt.once('connect', () => {
  const topics = APPLIANCES.map(name => commandTopic(vessel.name, name))
  mqtt.subscribe(topics, { qos: 1 }, error => {
    if (error) throw error
    liveOn()
    setInterval(liveOn, TICK_MS)
    setInterval(() => {
      for (const appliance of obeyed.keys()) report(appliance)
    }, REPORT_MS)
    process.send?.('ready')
  })
})

process.on('disconnect', () => process.exit())
process.on('SIGTERM', () => process.exit())
