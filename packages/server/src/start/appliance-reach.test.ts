import { expect, test } from 'vitest'
import type { KeptAlarm } from '../alarms/alarm-change.ts'
import { applianceReach } from './appliance-reach.ts'

const record = (doors: string) => ({ name: 'Bucket', text: '', doors, changed_ms: 0 })
const nobody = { listening: () => ({ listens: false, takesReceipt: false }) }
const quiet = { list: () => [] }

test('by MQTT it is known whether somebody listens, elsewhere only what the latest command met with', () => {
  expect(applianceReach(record(''), nobody, quiet)).toMatchObject([
    {
      appliance: 'heater',
      reach: 'does not answer',
      problem: 'nothing listens on attemper/bucket/appliance/heater',
    },
    { appliance: 'cooler', reach: 'does not answer' },
    { appliance: 'thermostat', problem: 'nothing listens on attemper/bucket/appliance/thermostat' },
  ])
  const one = {
    listening: (topic: string) => ({ listens: topic.endsWith('heater'), takesReceipt: true }),
  }
  expect(applianceReach(record('cooler: none\nthermostat: none'), one, quiet)).toEqual([
    { appliance: 'heater', reach: 'listens', problem: '' },
  ])
  const far = record('heater: { http: "http://192.168.1.20/heater" }\ncooler: none\nthermostat: none')
  expect(applianceReach(far, nobody, quiet)).toMatchObject([{ appliance: 'heater', reach: 'unknown' }])
  const place = { batch: 'b1', vessel: 'Bucket', name: 'Ale' }
  const alarm = { code: 'appliance-unreachable', subject: 'heater', place, awaySince_s: null }
  const lost = { list: () => [alarm as KeptAlarm] }
  expect(applianceReach(far, nobody, lost)).toMatchObject([{ reach: 'does not answer' }])
})
