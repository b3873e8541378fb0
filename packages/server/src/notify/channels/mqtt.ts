import type { Clock } from '../../live/clock.ts'
import type { MqttSettings } from '../settings.ts'
import { type Channel, ChannelProblem } from './channel.ts'
import { messageJson } from './message-json.ts'

/** Publishes to the cellar's broker; rejects, or throws, when it can not. */
export type Publish = (topic: string, text: string) => Promise<void> | void

export function mqttChannel({ topic }: MqttSettings, publish: Publish | null, clock: Clock): Channel {
  return {
    most: 1,
    where: `topic ${topic}`,
    async send(_to, messages, id) {
      if (publish === null) {
        throw new ChannelProblem(
          'there is no MQTT broker',
          'Start the cellar with its broker, or take another channel.',
        )
      }
      try {
        await publish(topic, messageJson(messages[0]!, id, clock.now_ms()))
      } catch (error) {
        const reason = error instanceof Error ? error.message : String(error)
        throw new ChannelProblem(
          `the broker did not take it (${reason.slice(0, 200)})`,
          'Look at the broker.',
        )
      }
    },
  }
}
