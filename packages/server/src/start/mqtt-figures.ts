import type { MqttDoor } from '../doors/mqtt/mqtt-door.ts'
import type { MetricFamily } from '../http/metrics/open-metrics.ts'

/** What the MQTT door counts, for /metrics. */
export function mqttFigures(door: MqttDoor): readonly MetricFamily[] {
  const { clients, messages, dropped, refused } = door.counts()
  return [
    {
      name: 'attemper_mqtt_clients',
      type: 'gauge',
      help: 'Clients that are connected to the MQTT broker; with a broker of your own: whether the cellar is.',
      samples: [{ labels: {}, value: clients }],
    },
    {
      name: 'attemper_mqtt_messages',
      type: 'counter',
      help: 'Messages that were looked at.',
      samples: [{ labels: {}, value: messages }],
    },
    {
      name: 'attemper_mqtt_messages_dropped',
      type: 'counter',
      help: 'Messages dropped because their client sent too many.',
      samples: [{ labels: {}, value: dropped }],
    },
    {
      name: 'attemper_mqtt_readings_refused',
      type: 'counter',
      help: 'Readings refused, by the reason.',
      samples: [...refused].map(([code, value]) => ({ labels: { code }, value })),
    },
  ]
}
