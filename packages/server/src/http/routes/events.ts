import type { OutgoingHttpHeaders } from 'node:http'
import { Type } from 'typebox'
import { admit, nameOf } from '../access/guard.ts'
import { placeOfAddress } from '../access/place-of-address.ts'
import type { Change, ChangeFeed } from '../change-feed.ts'
import { HttpProblem } from '../errors.ts'
import { EventStream } from '../event-stream.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import type { ChangeEvents } from '../published.ts'
import { Name, problemsOfLook, textAnswer } from '../schemas.ts'

const MOST_LISTENERS = 200
/** Of one person or token at one address: a page that opens one after the other must not take those of the others. */
const MOST_OF_ONE = 25
/** A listener may call itself cut off after two that did not come, within seconds. */
const HEARTBEAT_ms = 3000

/** GET /events: the changes of batches and of alarms as they happen, as server-sent events. */
export function eventRoutes(app: HttpApp, parts: HttpParts, feed: ChangeFeed): void {
  /** With whose it is. */
  const open = new Map<EventStream, string>()
  app.addHook('preClose', async () => {
    for (const stream of open.keys()) stream.end()
    feed.close()
  })

  app.get(
    '/events',
    {
      exposeHeadRoute: false,
      config: { isStream: true },
      schema: {
        summary: 'Changes as they happen',
        description:
          'Server-sent events. “batch”: a batch has changed, with its view as in GET /batches/:id. “alarm”: an alarm, as in ' +
          'GET /alarms, has changed (after each new connection, fetch the list first). “resync”: it can not ' +
          'be told what was missed, so fetch anew. “beat”: every 3 s, with the time of the cellar; a listener that hears nothing ' +
          'for longer is cut off. With Last-Event-ID it goes on after that event, each batch once.',
        tags: ['batches'],
        querystring: Type.Object({ batch: Type.Optional(Name) }),
        headers: Type.Object({ 'last-event-id': Type.Optional(Type.String({ maxLength: 100 })) }),
        response: {
          200: textAnswer('text/event-stream', 'A stream that does not end.'),
          ...problemsOfLook('unknown-batch', 'too-many-listeners'),
        },
      },
    },
    (request, reply) => {
      const { batch } = request.query
      if (batch !== undefined) parts.cellar.view(batch)
      const owner = `${nameOf(request)} ${placeOfAddress(request.ip)}`
      const own = [...open.values()].filter(each => each === owner).length
      if (open.size >= MOST_LISTENERS || own >= MOST_OF_ONE)
        throw new HttpProblem('too-many-listeners', undefined, { retryAfter_s: 60 })
      reply.hijack()
      const stream = new EventStream(reply.raw, reply.getHeaders() as OutgoingHttpHeaders)
      open.set(stream, owner)
      const tell = <Name extends keyof ChangeEvents>(
        name: Name,
        data: ChangeEvents[Name],
        id: string | null,
      ) => stream.send(name, data, id)
      const send = (change: Change) => {
        if (batch === undefined || change.batch === batch) {
          tell('batch', { batch: change.batch, view: change.view }, change.id)
        }
      }
      const known = request.headers['last-event-id']
      const missed = known === undefined ? [] : feed.since(known)
      if (missed === null) tell('resync', {}, feed.now())
      else if (known === undefined) tell('hello', {}, feed.now())
      else missed.forEach(send)
      const stopListening = feed.listen(send)
      const stopAlarms = parts.alarms.onChange(({ change, alarm, by }) => {
        if (batch === undefined || alarm.place?.batch === batch) tell('alarm', { change, alarm, by }, null)
      })
      const heartbeat = setInterval(() => {
        // Whoever has been signed out meanwhile hears no more.
        if (isStillAdmitted()) tell('beat', { now_ms: parts.clock.now_ms() }, null)
        else stream.end()
      }, parts.heartbeat_ms ?? HEARTBEAT_ms)
      const isStillAdmitted = () => {
        try {
          admit(request, parts.access)
          return true
        } catch {
          return false
        }
      }
      reply.raw.once('close', () => {
        clearInterval(heartbeat)
        stopListening()
        stopAlarms()
        open.delete(stream)
      })
    },
  )
}
