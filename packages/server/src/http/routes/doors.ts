import { Type } from 'typebox'
import type { Report } from '../../doors/report.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { Name, problemsOfChange, problemsOfLook } from '../schemas.ts'
import {
  DoorAddresses,
  FoundProbe,
  HeardMessage,
  MappingTrial,
  TextSchema,
  TriedMapping,
} from './door-schemas.ts'

/** For joining an instrument to a vessel: what it says, what a mapping would make of it, and which probes there are. */
export function doorRoutes(app: HttpApp, { doors, cellar }: HttpParts): void {
  if (doors === undefined) return

  app.get(
    '/doors/heard',
    {
      config: { needs: 'brewer' },
      schema: {
        summary: 'What came to the doors last',
        description:
          'The last 200 messages at the doors of HTTP and MQTT, with the readings that were taken from each or why it was ' +
          'refused; such that nobody waits for too. They are kept in memory only.',
        tags: ['readings'],
        querystring: Type.Object({
          after: Type.Optional(
            Type.Integer({ minimum: 0, description: 'Number of the last message that is already known.' }),
          ),
        }),
        response: { 200: Type.Array(HeardMessage, { description: 'Earliest first.' }), ...problemsOfLook() },
      },
    },
    async request =>
      doors.heard
        .after(request.query.after ?? 0)
        .map(message => ({ ...message, readings: message.readings.map(shown) })),
  )

  app.post(
    '/doors/try-mapping',
    {
      schema: {
        summary: 'Try a mapping on a message',
        description:
          'What readings it would give. The vessel need not be there yet: then any name of an instrument will do. ' +
          'Nothing is stored.',
        tags: ['readings'],
        body: MappingTrial,
        response: { 200: TriedMapping, ...problemsOfChange() },
      },
    },
    async request => {
      const { mapping = null, contentType = null, text, vessel } = request.body
      const { findings, readings, refused } = doors.tryMapping({ mapping, contentType, text, vessel })
      return { findings, readings: readings.map(shown), refused }
    },
  )

  app.get(
    '/doors/found',
    {
      config: { needs: 'brewer' },
      schema: {
        summary: 'Probes of this machine',
        description:
          'The 1-Wire probes and hwmon inputs that the kernel shows, with what each says now. A 1-Wire probe takes about a second.',
        tags: ['readings'],
        response: { 200: Type.Array(FoundProbe, { description: '1-Wire first.' }), ...problemsOfLook() },
      },
    },
    async () => doors.findProbes(),
  )

  app.get(
    '/doors/addresses',
    {
      schema: {
        summary: 'Where devices send readings',
        description: 'The topics, names and paths under which readings of a vessel need no mapping.',
        tags: ['readings'],
        querystring: Type.Object({ vessel: Name }),
        response: { 200: DoorAddresses, ...problemsOfLook('unknown-vessel') },
      },
    },
    async request => {
      const { vessel } = request.query
      const record = cellar.vessels().find(({ name }) => name === vessel)
      if (record === undefined)
        throw new HttpProblem('unknown-vessel', `There is no vessel called “${vessel}”.`)
      return doors.addresses(record)
    },
  )

  app.get(
    '/doors/schema',
    {
      schema: {
        summary: 'The schema of the doors of a vessel',
        description: 'What may stand in the text that comes beside a vessel file.',
        tags: ['readings'],
        response: { 200: TextSchema, ...problemsOfLook() },
      },
    },
    async () => doors.schema,
  )
}

function shown({ vessel, instrument, quantity, value, at_ms }: Report) {
  return { vessel, instrument, quantity, value, at_ms }
}
