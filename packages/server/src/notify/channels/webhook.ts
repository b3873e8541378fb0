import { createHmac } from 'node:crypto'
import type { Clock } from '../../live/clock.ts'
import type { WebhookSettings } from '../settings.ts'
import { type Channel, ChannelProblem } from './channel.ts'
import { messageJson } from './message-json.ts'
import { networkProblem } from './network-problem.ts'

export const SIGNATURE_HEADER = 'attemper-signature'

/** The receiver computes the same from the bytes of the body and its copy of the secret, and compares. */
export function signatureOf(body: string, secret: string): string {
  return `sha256=${createHmac('sha256', secret).update(body, 'utf8').digest('hex')}`
}

/** Posts JSON. Any answer from 200 to 299 is taken as: received. */
export function webhookChannel({ url, secret, timeout_s }: WebhookSettings, clock: Clock): Channel {
  const { host } = new URL(url)
  return {
    most: 1,
    where: host,
    async send(_to, messages, id, signal) {
      const [message] = messages
      const body = messageJson(message!, id, clock.now_ms())
      const signature = secret === null ? {} : { [SIGNATURE_HEADER]: signatureOf(body, secret) }
      const response = await fetch(url, {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'user-agent': 'attemper', ...signature },
        body,
        // What is signed for one address is not carried to another.
        redirect: 'manual',
        signal: AbortSignal.any([signal, AbortSignal.timeout(timeout_s * 1000)]),
      }).catch(error => {
        throw networkProblem(host, error)
      })
      await response.body?.cancel()
      if (!response.ok) throw refusal(host, response.status)
    },
  }
}

function refusal(host: string, status: number): ChannelProblem {
  const cure =
    status >= 300 && status < 400
      ? 'Write the address to which it redirects.'
      : status === 401 || status === 403
        ? 'Check the secret, and what the receiver asks for.'
        : status === 404
          ? 'Check the path of the address.'
          : 'Look into the log of the receiver.'
  return new ChannelProblem(`${host} answered ${status}`, cure)
}
