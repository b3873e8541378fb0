import { request as requestHttp } from 'node:http'
import { request as requestHttps } from 'node:https'
import { publicLookup } from './push-address.ts'

const TIMEOUT_ms = 10_000

/**
 * Posts to a push service, and answers with its status. Not by fetch: that can not be told which addresses a name may
 * lead to, and would follow where it is sent to.
 */
export function postPush(
  endpoint: string,
  headers: Readonly<Record<string, string>>,
  body: Buffer,
  signal: AbortSignal,
): Promise<number> {
  const { promise, resolve, reject } = Promise.withResolvers<number>()
  const send = endpoint.startsWith('https:') ? requestHttps : requestHttp
  const request = send(
    endpoint,
    {
      method: 'POST',
      headers: { ...headers, 'content-length': body.length },
      agent: false,
      lookup: publicLookup,
      signal: AbortSignal.any([signal, AbortSignal.timeout(TIMEOUT_ms)]),
    },
    response => {
      response.resume()
      response.once('error', reject)
      response.once('close', () => resolve(response.statusCode ?? 0))
    },
  )
  request.once('error', error => reject(error.name === 'AbortError' ? new Error('TimeoutError') : error))
  request.end(body)
  return promise
}
