import { REAL_CLOCK } from '../../live/clock.ts'
import type { Message } from '../message.ts'
import { encryptPush, LONGEST_PUSH_B } from '../push/encrypt-push.ts'
import { postPush } from '../push/post-push.ts'
import type { PushDevices } from '../push/push-devices.ts'
import type { PushMessage } from '../push/push-message.ts'
import type { SenderKeys } from '../push/sender-keys.ts'
import type { PushSettings } from '../settings.ts'
import { type Channel, ChannelProblem } from './channel.ts'
import { networkProblem } from './network-problem.ts'

/** How long a push service keeps a message for a device that is switched off, s. */
const KEPT_FOR_S = 86_400

/** The push service does not know the address any more: the browser, or its person, has given it up (RFC 8030, 7.3). */
const GONE: readonly number[] = [404, 410]

/** Sends to browsers by their push services (RFC 8030), encrypted (RFC 8291) and signed (RFC 8292). `to` is a device. */
export function pushChannel({ contact }: PushSettings, devices: PushDevices, keys: SenderKeys): Channel {
  return {
    most: 1,
    get where() {
      const { length } = devices.all
      return length === 1 ? '1 device' : `${length} devices`
    },
    async send(to, messages, id, signal) {
      const device = devices.find(to ?? '')
      // It was removed while the message waited.
      if (device === null) return
      const { endpoint } = device
      const { host } = new URL(endpoint)
      const [message] = messages
      const topic = message!.alarm === null ? {} : { topic: `alarm-${message!.alarm.id}` }
      const status = await postPush(
        endpoint,
        {
          authorization: keys.authorization(endpoint, contact, REAL_CLOCK.now_ms() / 1000),
          'content-encoding': 'aes128gcm',
          'content-type': 'application/octet-stream',
          ttl: String(KEPT_FOR_S),
          urgency: urgencyOf(message!),
          // A later message about the same alarm replaces one that still waits: “it is over” is enough then.
          ...topic,
        },
        encryptPush(pushText(message!, id), device),
        signal,
      ).catch(error => {
        throw networkProblem(host, error)
      })
      if (GONE.includes(status)) devices.remove(device.id, 'the push service')
      else if (status < 200 || status > 299) throw refusal(host, status, device.name)
    },
  }
}

function urgencyOf({ kind, priority }: Message): string {
  if (kind === 'over') return 'low'
  return priority === 'low' ? 'normal' : 'high'
}

/** What the service worker of the screens shows; a long text is cut so that the whole fits. */
export function pushText(message: Message, id: string): Buffer {
  const { kind, priority, at_ms, subject, text, alarm, batch, link } = message
  const write = (shown: string) => {
    const about = { alarm: alarm?.id ?? null, batch, link }
    const whole: PushMessage = { id, kind, priority, at_ms, subject, text: shown, ...about }
    return Buffer.from(JSON.stringify(whole))
  }
  for (let letters = text.length; letters > 0; letters = Math.floor(letters * 0.8)) {
    const bytes = write(letters === text.length ? text : `${text.slice(0, letters)}…`)
    if (bytes.length <= LONGEST_PUSH_B) return bytes
  }
  return write('')
}

function refusal(host: string, status: number, device: string): ChannelProblem {
  const cure =
    status === 400 || status === 401 || status === 403
      ? 'Remove the device and add it anew; give the push channel a “contact” in the settings.'
      : status === 429 || status >= 500
        ? 'It is tried again later.'
        : 'Remove the device and add it anew.'
  return new ChannelProblem(`${host} answered ${status} for “${device}”`, cure)
}
