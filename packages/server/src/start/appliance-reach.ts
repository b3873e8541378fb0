import type { ApplianceReach } from '@attemper/core/readiness/check.ts'
import type { AlarmKeeper } from '../alarms/alarm-keeper.ts'
import { readDoorSettings, USUAL_DOORS } from '../doors/door-settings.ts'
import type { MqttDoor } from '../doors/mqtt/mqtt-door.ts'
import { commandTopic } from '../doors/mqtt/topics.ts'
import type { VesselRecord } from '../store/store.ts'

/**
 * How the appliances of a vessel are reached, as far as that is known without switching anything: whether one listens to
 * its topic, and what the latest command met with. Those that nobody switches are left out.
 */
export function applianceReach(
  { name, doors }: VesselRecord,
  mqtt: Pick<MqttDoor, 'listening'>,
  alarms: Pick<AlarmKeeper, 'list'>,
): readonly ApplianceReach[] {
  const { settings } = readDoorSettings(doors, name)
  const lost = alarms
    .list()
    .filter(
      ({ code, place, awaySince_s }) =>
        code === 'appliance-unreachable' && place?.vessel === name && awaySince_s === null,
    )
  return (['heater', 'cooler', 'thermostat'] as const).flatMap((appliance): ApplianceReach[] => {
    const { kind } = (settings ?? USUAL_DOORS)[appliance]
    if (kind === 'none') return []
    if (lost.some(({ subject }) => subject === appliance)) {
      return [{ appliance, reach: 'does not answer', problem: 'the latest command did not reach it' }]
    }
    const topic = commandTopic(name, appliance)
    const isHeard = kind === 'mqtt' ? (mqtt.listening(topic)?.listens ?? null) : null
    if (isHeard === null) return [{ appliance, reach: 'unknown', problem: '' }]
    if (isHeard) return [{ appliance, reach: 'listens', problem: '' }]
    return [{ appliance, reach: 'does not answer', problem: `nothing listens on ${topic}` }]
  })
}
