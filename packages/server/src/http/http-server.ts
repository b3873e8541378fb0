import type { Socket } from 'node:net'
import cookie from '@fastify/cookie'
import fastify, { type FastifyInstance, type FastifyReply } from 'fastify'
import { requireSafeBinding } from './access/binding.ts'
import { FloodLimit } from './access/flood-limit.ts'
import { admit } from './access/guard.ts'
import { OpenRequests } from './access/open-requests.ts'
import { refuseForeign } from './access/origin.ts'
import { trustedProxies } from './access/outside.ts'
import { recordChange } from './access/record.ts'
import { LARGEST_BODY_B, readJson } from './body.ts'
import { ChangeFeed } from './change-feed.ts'
import { compress } from './compress.ts'
import { HttpProblem } from './errors.ts'
import { isFault, problemFrom } from './from-error.ts'
import type { HttpApp, HttpParts } from './http-app.ts'
import { DoorCounts } from './metrics/door-counts.ts'
import { openapiRoutes, registerOpenapi } from './openapi.ts'
import { alarmRoutes } from './routes/alarms.ts'
import { backupRoutes } from './routes/backup.ts'
import { batchActionRoutes } from './routes/batch-actions.ts'
import { batchRoutes } from './routes/batches.ts'
import { calendarRoutes } from './routes/calendar.ts'
import { changeRoutes } from './routes/changes.ts'
import { demoRoutes } from './routes/demo.ts'
import { doorRoutes } from './routes/doors.ts'
import { eventRoutes } from './routes/events.ts'
import { expectedRoutes } from './routes/expected.ts'
import { gravityRoutes } from './routes/gravity.ts'
import { healthRoutes } from './routes/health.ts'
import { historyRoutes } from './routes/history.ts'
import { metricRoutes } from './routes/metrics.ts'
import { notifyRoutes } from './routes/notify.ts'
import { pastReadingRoutes } from './routes/past-readings.ts'
import { peopleRoutes } from './routes/people.ts'
import { preferenceRoutes } from './routes/preferences.ts'
import { pushRoutes } from './routes/push.ts'
import { readinessRoutes } from './routes/readiness.ts'
import { readingDoor } from './routes/readings.ts'
import { retentionRoutes } from './routes/retention.ts'
import { screenRoutes } from './routes/screens.ts'
import { seriesRoutes } from './routes/series.ts'
import { sessionRoutes } from './routes/session.ts'
import { tokenRoutes } from './routes/tokens.ts'
import { vesselRoutes } from './routes/vessels.ts'
import { validatorCompiler } from './validation.ts'

/** A request must have come in whole after this time; streams of events, which go out, may last. */
const SLOWEST_REQUEST_ms = 30_000

/**
 * The HTTP interface of a cellar, not yet listening. Throws an AccessError when it would be open to a network without a
 * password. Each request passes: host and origin, who it is, what was sent, the route; each answer the record of changes.
 */
export function httpServer(parts: HttpParts): FastifyInstance {
  const { access, store, clock, cellar } = parts
  requireSafeBinding(access.settings.host, access)
  const app = makeApp(parts)
  let { port } = access.settings
  app.addHook('onListen', async () => {
    const address = app.server.address()
    if (typeof address === 'object' && address !== null) port = address.port
  })
  // Not async: for the smallest requests, promises of hooks would be a good part of the work.
  app.addHook('onRequest', (request, reply, done) => {
    reply.header('cache-control', 'no-store').header('x-content-type-options', 'nosniff')
    refuseForeign(request, access, port)
    done()
  })
  app.register(cookie)
  registerOpenapi(app)
  screenRoutes(app, parts.screensDir)
  app.register(async scope => {
    const routes = scope as HttpApp
    const flood = new FloodLimit(clock)
    const open = new OpenRequests(access)
    routes.addHook('onClose', async () => open.close())
    routes.addHook('onRequest', (request, reply, done) => {
      admit(request, access)
      flood.admit(request)
      open.add(request, reply)
      done()
    })
    routes.addHook('onSend', (request, reply, _, done) => {
      recordChange(request, reply, store, clock)
      done()
    })
    routes.addHook('onSend', (request, reply, payload, done) => {
      // Readings come in by the thousand: for them no promise is made.
      if (request.method !== 'GET') done(null, payload)
      else compress(request, reply, payload).then(packed => done(null, packed), done)
    })
    const counts = new DoorCounts()
    const simple = [
      healthRoutes,
      vesselRoutes,
      readinessRoutes,
      batchRoutes,
      batchActionRoutes,
      gravityRoutes,
      alarmRoutes,
      notifyRoutes,
      pushRoutes,
      seriesRoutes,
      doorRoutes,
      pastReadingRoutes,
      calendarRoutes,
      expectedRoutes,
      historyRoutes,
      demoRoutes,
      retentionRoutes,
      backupRoutes,
      sessionRoutes,
      peopleRoutes,
      preferenceRoutes,
      tokenRoutes,
      changeRoutes,
      openapiRoutes,
    ]
    for (const addRoutes of simple) addRoutes(routes, parts)
    metricRoutes(routes, parts, counts)
    eventRoutes(routes, parts, new ChangeFeed(cellar))
    routes.register(async door => readingDoor(door as HttpApp, parts, counts))
  })
  return app as unknown as FastifyInstance
}

function makeApp({ access, onFault }: HttpParts): HttpApp {
  const { tls, outside = null } = access.settings
  const options = {
    trustProxy: trustedProxies(outside),
    bodyLimit: LARGEST_BODY_B,
    requestTimeout: SLOWEST_REQUEST_ms,
    forceCloseConnections: true,
    routerOptions: { maxParamLength: 600 },
    clientErrorHandler: answerBrokenRequest,
    frameworkErrors: (error: unknown, _: unknown, reply: FastifyReply) => answer(reply, error),
  }
  const made = tls === undefined ? fastify(options) : fastify({ ...options, https: { ...tls } })
  const app = made as unknown as HttpApp
  app.setValidatorCompiler(validatorCompiler)
  // Every answer is built by its route, member by member: nothing needs to be filtered out of it.
  app.setSerializerCompiler(() => JSON.stringify)
  app.removeAllContentTypeParsers()
  app.addContentTypeParser('application/json', { parseAs: 'buffer' }, (_, body, done) => {
    try {
      done(null, readJson(body as Buffer))
    } catch (error) {
      done(error as Error)
    }
  })
  app.decorateRequest('who', null)
  app.decorateRequest('changed', '')
  app.setNotFoundHandler((request, reply) =>
    answer(
      reply,
      new HttpProblem(
        'unknown-address',
        `There is nothing for ${request.method} ${request.url.slice(0, 200)}.`,
      ),
    ),
  )
  app.setErrorHandler((error, _, reply) => {
    if (isFault(error)) onFault?.(error)
    answer(reply, error)
  })
  return app
}

function answer(reply: FastifyReply, error: unknown): void {
  const problem = problemFrom(error)
  const { retryAfter_s } = problem.details
  if (retryAfter_s !== undefined) reply.header('retry-after', retryAfter_s)
  if (problem.code === 'sign-in' || problem.code === 'wrong-token') reply.header('www-authenticate', 'Bearer')
  reply
    .code(problem.statusCode)
    .type('application/json; charset=utf-8')
    .send(JSON.stringify(problem.toProblem()))
}

/** What is not HTTP at all reaches no route. */
function answerBrokenRequest(error: { readonly code?: string }, socket: Socket): void {
  if (error.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy()
    return
  }
  const problem = new HttpProblem(error.code === 'HPE_HEADER_OVERFLOW' ? 'header-too-large' : 'wrong-request')
  const body = JSON.stringify(problem.toProblem())
  socket.end(
    `HTTP/1.1 ${problem.statusCode} Refused\r\nContent-Type: application/json; charset=utf-8\r\n` +
      `Content-Length: ${Buffer.byteLength(body)}\r\nConnection: close\r\n\r\n${body}`,
  )
}
