import { promisify } from 'node:util'
import { gzip } from 'node:zlib'
import type { FastifyReply, FastifyRequest } from 'fastify'

const gzipOffThread = promisify(gzip)

/** What fits into one packet of Ethernet travels no sooner when it is smaller. */
const WORTH_IT_B = 1400

/**
 * The payload as it goes out: a large answer to a question is packed for whoever unpacks gzip (RFC 9110, 8.4.1.3), since a
 * chart of a year on a telephone is mostly waiting for its numbers. It is packed beside the control loops, not among them.
 */
export async function compress(
  request: FastifyRequest,
  reply: FastifyReply,
  payload: unknown,
): Promise<unknown> {
  if (request.method !== 'GET' || typeof payload !== 'string' || payload.length < WORTH_IT_B) return payload
  reply.header('vary', 'accept-encoding')
  if (!takesGzip(request.headers['accept-encoding'])) return payload
  const packed = await gzipOffThread(payload)
  reply.header('content-encoding', 'gzip').removeHeader('content-length')
  return packed
}

/** Named, and not refused by a weight of zero (RFC 9110, 12.5.3). */
function takesGzip(accepted: string | string[] | undefined): boolean {
  return String(accepted ?? '')
    .split(',')
    .some(coding => /^\s*gzip\s*(?:;\s*q=(?!0(?:\.0*)?\s*$)[\d.]+\s*)?$/i.test(coding))
}
