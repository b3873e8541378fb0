import type { Figure } from '../figure.ts'
import type { BareInserts } from './bare-inserts.ts'
import { BenchCellar, inFolder, readingsIn } from './bench-cellar.ts'
import { type BenchVessel, beer_C, benchVessels } from './bench-vessels.ts'
import { besideBare } from './beside-bare.ts'
import { type Acknowledgements, type Loaded, measureLoad, requireAll } from './load.ts'
import { MqttDevice } from './mqtt-device.ts'

/** So many that none reaches the thousand messages a second at which the broker slows a device down. */
const DEVICES = 100
/** Messages of a device that wait for their acknowledgement at the same time. */
const IN_FLIGHT = 40
const MEASURED = { warmUp_ms: 1500, measured_ms: 4000 }
const BEGUN_MS = 600_000

/** One reading in each message of QoS 1, acknowledged after it was committed; each device in a vessel of its own. */
export async function mqttReadings(bare: BareInserts): Promise<readonly Figure[]> {
  const loaded = await load()
  return [
    {
      name: `readings by MQTT, QoS 1, ${DEVICES} devices`,
      value: loaded.perSecond,
      unit: '/s',
      goal: { first: 20_000, aim: 50_000, better: 'more' },
      note: besideBare(loaded, bare),
    },
  ]
}

function load(): Promise<Loaded> {
  return inFolder(async folder => {
    const loaded = await BenchCellar.run(folder, async cellar => {
      const vessels = benchVessels(DEVICES)
      for (const { text } of vessels) await cellar.addVessel(text)
      const devices = vessels.map(({ slug }) => new MqttDevice(cellar.mqttUrl, slug))
      await Promise.all(devices.map(({ connected }) => connected))
      const from_ms = Date.now() - BEGUN_MS
      const loaded = await measureLoad(
        MEASURED,
        () => cellar.processorTime_s(),
        async acknowledgements => {
          await Promise.all(
            devices.map((device, i) => publishAll(device, vessels[i]!, from_ms, acknowledgements)),
          )
        },
      )
      for (const device of devices) device.close()
      return loaded
    })
    requireAll(loaded.acknowledged, readingsIn(folder))
    return loaded
  })
}

/** Keeps so many messages under way until the time is over and all have been acknowledged. */
function publishAll(
  device: MqttDevice,
  { slug }: BenchVessel,
  from_ms: number,
  acknowledgements: Acknowledgements,
): Promise<void> {
  const topic = `attemper/${slug}/probe/beer`
  return new Promise((resolve, reject) => {
    let n = 0
    let underway = 0
    const publish = () => {
      const sent_ms = performance.now()
      const payload = `{"value":${beer_C(n)},"unit":"Cel","at":${(from_ms + n) / 1000}}`
      n++
      underway++
      device.publish(topic, payload, problem => {
        underway--
        if (problem !== undefined) return reject(problem)
        acknowledgements.take(1, sent_ms)
        if (!acknowledgements.isOver) publish()
        else if (underway === 0) resolve()
      })
    }
    for (let i = 0; i < IN_FLIGHT; i++) publish()
  })
}
