import type { ApplianceName } from '@attemper/core/engine/events.ts'
import type { Clock } from '../../live/clock.ts'
import type { ApplianceDoor } from '../appliance-door.ts'
import type { MqttDoor } from '../mqtt/mqtt-door.ts'
import { commandTopic } from '../mqtt/topics.ts'
import { commandMessage, fenceHeard, reportHeard } from './command-message.ts'

export type ApplianceBroker = Pick<MqttDoor, 'publish'> & Partial<Pick<MqttDoor, 'listening' | 'onAppliance'>>

/**
 * Commands as retained messages on attemper/VESSEL/appliance/APPLIANCE: one that connects late hears the latest. Whether it
 * hears them is told by its broker (who listens, who has taken the message), if that is the cellar's own, and by the appliance
 * itself, if it reports on the topic below.
 */
export function mqttAppliance(
  vessel: string,
  appliance: ApplianceName,
  mqtt: ApplianceBroker,
  clock: Clock,
): ApplianceDoor {
  const topic = commandTopic(vessel, appliance)
  return {
    async send(command) {
      const problem = await mqtt.publish(topic, commandMessage(command, clock.now_ms()), { retain: true })
      if (problem !== null) return { sent: false, problem: `${topic}: ${problem}` }
      const listening = mqtt.listening?.(topic) ?? null
      if (listening === null) return { sent: true, problem: null, cannotKnow: true }
      const { listens, takesReceipt } = listening
      return { sent: true, problem: null, ...(listens && !takesReceipt ? { confirmed: 'listening' } : {}) }
    },
    listen(listener) {
      const lookWhoListens = () => {
        const listening = mqtt.listening?.(topic) ?? null
        const { listens, takesReceipt } = listening ?? { listens: null, takesReceipt: false }
        listener({ kind: 'listening', appliance, listens, takesReceipt, where: topic })
      }
      lookWhoListens()
      return (
        mqtt.onAppliance?.(news => {
          if (news.kind === 'listeners') lookWhoListens()
          if (news.kind === 'receipt' && news.topic === topic) {
            const fence = fenceHeard(news.payload)
            if (fence !== null) listener({ kind: 'receipt', appliance, fence })
          }
          if (news.kind === 'report' && news.topic === topic) {
            const report = reportHeard(appliance, news.payload)
            if (report !== null) listener({ kind: 'report', appliance, ...report })
          }
        }) ?? (() => undefined)
      )
    },
    async close() {
      // The connection belongs to all vessels.
    },
  }
}
