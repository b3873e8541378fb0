import type { Clock } from '../../live/clock.ts'
import type { ApplianceDoor } from '../appliance-door.ts'
import type { MqttDoor } from '../mqtt/mqtt-door.ts'
import { commandTopic } from '../mqtt/topics.ts'
import { commandMessage } from './command-message.ts'

/** Commands as retained messages on attemper/VESSEL/appliance/APPLIANCE: one that connects late hears the latest. */
export function mqttAppliance(vessel: string, mqtt: Pick<MqttDoor, 'publish'>, clock: Clock): ApplianceDoor {
  return {
    async send(command) {
      const topic = commandTopic(vessel, command.appliance)
      const problem = await mqtt.publish(topic, commandMessage(command, clock.now_ms()), { retain: true })
      return problem === null
        ? { sent: true, problem: null }
        : { sent: false, problem: `${topic}: ${problem}` }
    },
    async close() {
      // The connection belongs to all vessels.
    },
  }
}
