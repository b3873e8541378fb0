import { Type } from 'typebox'
import { nameOf } from '../access/guard.ts'
import { checkJsonText } from '../body.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
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

/** POST /readings: the door for instruments. */
export async function readingDoor(app: HttpApp, parts: HttpParts, counts: DoorCounts): Promise<void> {
  // What the bytes mean is for the decoder to say; here they only must not do harm.
  app.removeAllContentTypeParsers()
  app.addContentTypeParser([...JSON_KINDS], { parseAs: 'buffer' }, (_, body, done) => {
    try {
      checkJsonText(body as Buffer)
      done(null, body)
    } catch (error) {
      done(error as HttpProblem)
    }
  })
  app.addContentTypeParser([...CBOR_KINDS], { parseAs: 'buffer' }, (_, body, done) => done(null, body))

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
          ...problemsOfChange('readings-refused', 'too-many'),
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
      const receipt = await takeReadings(parts, {
        kind: (request.headers['content-type'] ?? '').split(';', 1)[0]?.trim().toLowerCase() ?? '',
        body: request.body,
        vessel,
        mapping,
        bound,
        door: `http ${nameOf(request)}`,
      })
      counts.count(receipt.stored, receipt.repeated, receipt.refused)
      if (receipt.refused.length > 0 && receipt.stored + receipt.repeated === 0)
        throw allRefused(receipt.refused)
      return receipt
    },
  )
}

function allRefused(refused: readonly { readonly code: string; readonly message: string }[]): HttpProblem {
  const [first] = refused
  const others = refused.length - 1
  const message = `${first?.message ?? ''}${others > 0 ? ` (And ${others} more.)` : ''}`
  return refused.every(({ code }) => code === 'too-many')
    ? new HttpProblem('too-many', message, { more: { refused }, retryAfter_s: 1 })
    : new HttpProblem('readings-refused', message, { more: { refused } })
}
