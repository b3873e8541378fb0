import type { FastifyRequest } from 'fastify'
import { Type } from 'typebox'
import type { HeardRefusal } from '../../doors/heard-messages.ts'
import type { Refusal, Report } from '../../doors/report.ts'
import { nameOf } from '../access/guard.ts'
import { checkJsonText } from '../body.ts'
import { HttpProblem } from '../errors.ts'
import { problemFrom } from '../from-error.ts'
import type { Decode, HttpApp, HttpParts } from '../http-app.ts'
import type { DoorCounts } from '../metrics/door-counts.ts'
import { Name, problemsOfChange } from '../schemas.ts'
import { takeReadings } from '../take-readings.ts'
import { Receipt } from './reading-schemas.ts'

export const JSON_KINDS: readonly string[] = [
  'application/json',
  'application/senml+json',
  'application/sensml+json',
]
export const CBOR_KINDS: readonly string[] = [
  'application/cbor',
  'application/senml+cbor',
  'application/sensml+cbor',
]

/** The decoder judges it, item by item. */
const Pack = Type.Unsafe<Buffer>({ description: 'A SenML pack, or JSON in the form of the mapping.' })

declare module 'fastify' {
  interface FastifyRequest {
    /** What was sent to the door of readings and refused before the route saw it. */
    unread: Buffer | null
    /** Whoever watches the doors has been told of it. */
    isNoted: boolean
  }
}

/** POST /readings: the door for instruments. */
export async function readingDoor(app: HttpApp, parts: HttpParts, counts: DoorCounts): Promise<void> {
  // What the bytes mean is for the decoder to say; here they only must not do harm.
  app.removeAllContentTypeParsers()
  app.decorateRequest('unread', null)
  app.decorateRequest('isNoted', false)
  app.addContentTypeParser([...JSON_KINDS], { parseAs: 'buffer' }, (request, body, done) => {
    try {
      checkJsonText(body as Buffer)
      done(null, body)
    } catch (error) {
      request.unread = body as Buffer
      done(error as HttpProblem)
    }
  })
  app.addContentTypeParser([...CBOR_KINDS], { parseAs: 'buffer' }, (_, body, done) => done(null, body))
  const note = (
    request: FastifyRequest,
    readings: readonly Report[],
    refused: readonly HeardRefusal[],
  ): void => {
    if (request.isNoted) return
    request.isNoted = true
    const sent: unknown = request.body
    parts.doors?.heard.hear({
      door: 'http',
      where: request.url,
      by: request.who?.name ?? request.ip,
      kind: request.headers['content-type'] ?? null,
      body: Buffer.isBuffer(sent) ? sent : request.unread,
      readings,
      refused,
    })
  }
  // What does not come as far as the decoder is heard too: a wrong token, a kind of body that is not read here.
  app.addHook('onError', async (request, _, error) => {
    const { code, message } = problemFrom(error)
    note(request, [], [{ index: 0, code, message }])
  })

  app.post(
    '/readings',
    {
      config: { needs: 'readings' },
      schema: {
        summary: 'Hand in readings',
        description:
          'SenML (RFC 8428) as JSON or CBOR, or any JSON through a mapping that is known by its name. All that was not ' +
          'refused is on disk when the answer comes. A reading that comes twice is stored once. Needs a token for the ' +
          'readings of the vessel, or a brewer.',
        tags: ['readings'],
        body: {
          content: Object.fromEntries([...JSON_KINDS, ...CBOR_KINDS].map(kind => [kind, { schema: Pack }])),
        },
        querystring: Type.Object({
          vessel: Type.Optional(Name),
          mapping: Type.Optional(Name),
        }),
        response: {
          200: Receipt,
          ...problemsOfChange('readings-refused'),
        },
      },
    },
    async request => {
      const { who } = request
      const bound = who?.kind === 'device' && who.door.kind === 'readings' ? who.door.vessel : undefined
      const { vessel = bound, mapping } = request.query
      if (bound !== undefined && vessel !== bound) {
        throw new HttpProblem('not-allowed', `This token hands in readings of “${bound}” only.`)
      }
      if (!Buffer.isBuffer(request.body)) throw new HttpProblem('wrong-shape', 'The body is empty.')
      let decoded: ReturnType<Decode> = { reports: [], refused: [] }
      const decode: Decode = (...sent) => {
        decoded = parts.decode(...sent)
        return decoded
      }
      const receipt = await takeReadings(
        { ...parts, decode },
        {
          kind: (request.headers['content-type'] ?? '').split(';', 1)[0]?.trim().toLowerCase() ?? '',
          body: request.body,
          vessel,
          mapping,
          bound,
          door: `http ${nameOf(request)}`,
        },
      )
      note(request, takenOf(decoded, receipt.refused), receipt.refused)
      counts.count(receipt.stored, receipt.repeated, receipt.refused)
      if (receipt.refused.length > 0 && receipt.stored + receipt.repeated === 0)
        throw allRefused(receipt.refused)
      return receipt
    },
  )
}

/** Refusals count positions in what was sent; a decoder keeps the order of what it did not refuse. */
function takenOf({ reports, refused }: ReturnType<Decode>, notTaken: readonly Refusal[]): readonly Report[] {
  if (notTaken.length === 0) return reports
  const undecoded = new Set(refused.map(({ index }) => index))
  const indexes = new Set(notTaken.map(one => one.index))
  let index = -1
  return reports.filter(() => {
    do index += 1
    while (undecoded.has(index))
    return !indexes.has(index)
  })
}

function allRefused(refused: readonly { readonly code: string; readonly message: string }[]): HttpProblem {
  const [first] = refused
  const others = refused.length - 1
  const message = `${first?.message ?? ''}${others > 0 ? ` (And ${others} more.)` : ''}`
  return refused.every(({ code }) => code === 'too-many')
    ? new HttpProblem('too-many', message, { more: { refused }, retryAfter_s: 1 })
    : new HttpProblem('readings-refused', message, { more: { refused } })
}
