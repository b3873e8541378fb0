import { Type } from 'typebox'
import { nameOf } from '../access/guard.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { readMoment } from '../moment.ts'
import { BatchId, MomentText, problemsOfChange, problemsOfLook } from '../schemas.ts'
import { Entry, ListedBatch, StartBatch, StartedBatch, View, Why } from './batch-schemas.ts'

/** Starting batches and looking at them. */
export function batchRoutes(app: HttpApp, { cellar, clock }: HttpParts): void {
  app.post(
    '/batches',
    {
      config: { change: 'started the batch :changed' },
      schema: {
        summary: 'Start a batch',
        description:
          'The plan is proof-read and shortly rehearsed first. Errors stop the start, unless `overrule` says why they ' +
          'do not matter; the reason is recorded.',
        tags: ['batches'],
        body: StartBatch,
        response: {
          201: StartedBatch,
          ...problemsOfChange('unknown-vessel', 'vessel-busy', 'has-errors'),
        },
      },
    },
    async (request, reply) => {
      const { plan, beer, ...rest } = request.body
      const { batch, findings } = cellar.startBatch(
        { ...rest, planText: plan, beerText: beer },
        nameOf(request),
      )
      if (batch === null) {
        throw new HttpProblem('has-errors', 'The batch was not started: the proof-reader found errors.', {
          findings,
          cure: 'Correct them, or say in “overrule” why they do not matter.',
        })
      }
      request.changed = batch
      reply.code(201)
      return { batch, findings }
    },
  )

  app.get(
    '/batches',
    {
      schema: {
        summary: 'All batches',
        description: 'Those that run and those that have ended.',
        tags: ['batches'],
        response: {
          200: Type.Array(ListedBatch, { description: 'In the order of their start.' }),
          ...problemsOfLook(),
        },
      },
    },
    async () => cellar.batches().map(batch => ({ ...batch, unkept: cellar.whyUnkept(batch.id) })),
  )

  app.get(
    '/batches/:id',
    {
      schema: {
        summary: 'How a batch stands',
        description: 'The sentence, temperatures, gravity, questions, and why each appliance is on or off.',
        tags: ['batches'],
        params: BatchId,
        response: { 200: View, ...problemsOfLook('unknown-batch', 'not-kept', 'has-errors') },
      },
    },
    async request => cellar.view(request.params.id),
  )

  app.get(
    '/batches/:id/log',
    {
      schema: {
        summary: 'What happened to a batch',
        description: 'Decisions, commands, answers, edits, notes and gaps, in their order.',
        tags: ['batches'],
        params: BatchId,
        querystring: Type.Object({
          after: Type.Optional(
            Type.Integer({ minimum: 0, description: 'Number of the last entry that is already known.' }),
          ),
          limit: Type.Optional(
            Type.Integer({ minimum: 1, maximum: 10_000, description: 'At most so many (1000 if left out).' }),
          ),
        }),
        response: {
          200: Type.Array(Entry, { description: 'Earliest first.' }),
          ...problemsOfLook('unknown-batch'),
        },
      },
    },
    async request => cellar.log(request.params.id, request.query.after ?? 0, request.query.limit ?? 1000),
  )

  app.get(
    '/batches/:id/why',
    {
      schema: {
        summary: 'Why an appliance is on or off',
        description: 'Now, or at a moment in the past, as a sentence.',
        tags: ['batches'],
        params: BatchId,
        querystring: Type.Object({
          appliance: Type.Enum(['heater', 'cooler', 'thermostat'], {
            description: '“heater”, “cooler” or “thermostat”.',
          }),
          at: Type.Optional(MomentText),
        }),
        response: {
          200: Why,
          ...problemsOfLook('unknown-batch', 'not-kept', 'has-errors', 'wrong-value'),
        },
      },
    },
    async request => {
      const { appliance, at } = request.query
      const at_ms = at === undefined ? undefined : readMoment(at, 'at')
      const sentence = cellar.why(request.params.id, appliance, at_ms)
      return { appliance, at_ms: at_ms ?? clock.now_ms(), sentence }
    },
  )
}
