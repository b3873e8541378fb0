import { readCase } from '@attemper/core/batch/batch-case.ts'
import { nameOf } from '../access/guard.ts'
import { HttpProblem } from '../errors.ts'
import { findHandHydrometer, readGravity } from '../hand-gravity.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { readMoment } from '../moment.ts'
import { BatchId, problemsOfChange } from '../schemas.ts'
import { HandGravity, OriginalGravity, TakenGravity, TakenOriginal } from './batch-schemas.ts'

/** POST /batches/:id/gravity and /original-gravity: what the brewer read off a hydrometer. */
export function gravityRoutes(app: HttpApp, { cellar, clock }: HttpParts): void {
  app.post(
    '/batches/:id/gravity',
    {
      config: { change: 'entered a gravity of :changed, read by hand, for the batch :id' },
      schema: {
        summary: 'Enter a gravity read by hand',
        description: 'Stored as a reading of the instrument that the vessel’s file marks as read by hand.',
        tags: ['readings'],
        params: BatchId,
        body: HandGravity,
        response: {
          201: TakenGravity,
          ...problemsOfChange('unknown-batch', 'no-hand-instrument', 'not-running', 'wrong-value'),
        },
      },
    },
    async (request, reply) => {
      const { batch, state } = cellar.view(request.params.id)
      const beerFrom_SG = state.originalGravity ?? readCase(batch).batch?.program.originalGravity ?? null
      const gravity = readGravity(request.body.gravity, { beerFrom_SG })
      const at_ms = request.body.at === undefined ? clock.now_ms() : readMoment(request.body.at, 'at')
      if (batch.ended_ms !== null && at_ms > batch.ended_ms) {
        throw new HttpProblem('not-running', 'The batch had ended when this was read.', {
          cure: 'Say in “at” when it was read, or choose the batch that is in the vessel now.',
        })
      }
      const instrument = findHandHydrometer(batch.vesselText)
      const report = {
        vessel: batch.vessel,
        instrument,
        quantity: 'gravity',
        value: gravity,
        at_ms,
        status: 'good',
      } as const
      const { refused } = await cellar.accept([report], 'hand')
      const [refusal] = refused
      if (refusal !== undefined) throw new HttpProblem('wrong-value', refusal.message)
      cellar.note(batch.id, { instrument, gravity, read_ms: at_ms }, nameOf(request))
      request.changed = request.body.gravity
      reply.code(201)
      return { instrument, gravity, at_ms }
    },
  )

  app.post(
    '/batches/:id/original-gravity',
    {
      config: { change: 'entered an original gravity of :changed, read by hand, for the batch :id' },
      schema: {
        summary: 'Enter the original gravity',
        description:
          'What attenuation is counted from: it stands above what the float or the beer file says. No reading is stored.',
        tags: ['readings'],
        params: BatchId,
        body: OriginalGravity,
        response: { 200: TakenOriginal, ...problemsOfChange('unknown-batch', 'not-running', 'wrong-value') },
      },
    },
    async request => {
      const gravity = readGravity(request.body.gravity, 'wort')
      request.changed = request.body.gravity
      cellar.originalGravity(request.params.id, gravity, nameOf(request))
      return { gravity }
    },
  )
}
