import { nameOf } from '../access/guard.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { BatchId, DONE, Done, problemsOfChange } from '../schemas.ts'
import { Answer, GoTo, NewPlan, Note, TakenPlan, TakeUp } from './batch-schemas.ts'

/** Actions that need no more than the batch. */
const PLAIN = [
  {
    action: 'hold',
    change: 'held the batch :id',
    summary: 'Hold a batch',
    description: 'It stays in its stage and keeps its temperature until it is taken up again.',
  },
  {
    action: 'resume',
    change: 'took up the batch :id',
    summary: 'Take up a held batch',
    description: 'It goes on where it was.',
  },
  {
    action: 'stop',
    change: 'stopped the batch :id',
    summary: 'Stop a batch',
    description: 'An orderly end before the plan’s own. Appliances are switched off.',
  },
  {
    action: 'abort',
    change: 'aborted the batch :id',
    summary: 'Abort a batch',
    description: 'A fast end. Appliances are switched off at once.',
  },
] as const

/** What a brewer does to a running batch. */
export function batchActionRoutes(app: HttpApp, { cellar }: HttpParts): void {
  for (const { action, change, summary, description } of PLAIN) {
    app.post(
      `/batches/:id/${action}`,
      {
        config: { change },
        schema: {
          summary,
          description,
          tags: ['batches'],
          params: BatchId,
          response: { 200: Done, ...problemsOfChange('unknown-batch', 'not-running', 'not-kept') },
        },
      },
      async request => {
        cellar[action](request.params.id, nameOf(request))
        return DONE
      },
    )
  }

  app.post(
    '/batches/:id/answer',
    {
      config: { change: 'answered a question of the batch :id' },
      schema: {
        summary: 'Answer a question',
        description: 'Yes: go on, or: it is done. Not yet: stay, and ask again later.',
        tags: ['batches'],
        params: BatchId,
        body: Answer,
        response: {
          200: Done,
          ...problemsOfChange('unknown-batch', 'unknown-question', 'not-running', 'not-kept'),
        },
      },
    },
    async request => {
      const { question, answer } = request.body
      cellar.answer(request.params.id, question, answer, nameOf(request))
      return DONE
    },
  )

  app.post(
    '/batches/:id/go-to',
    {
      config: { change: 'moved the batch :id to :changed' },
      schema: {
        summary: 'Go to a stage',
        description: 'Forwards or back, whatever the conditions say.',
        tags: ['batches'],
        params: BatchId,
        body: GoTo,
        response: {
          200: Done,
          ...problemsOfChange('unknown-batch', 'unknown-stage', 'not-running', 'not-kept'),
        },
      },
    },
    async request => {
      request.changed = request.body.stage
      cellar.goTo(request.params.id, request.body.stage, nameOf(request))
      return DONE
    },
  )

  app.put(
    '/batches/:id/plan',
    {
      config: { change: 'changed the plan of the batch :id' },
      schema: {
        summary: 'Change the rest of the plan',
        description: 'It is proof-read and rehearsed from the present state before it is taken over.',
        tags: ['batches'],
        params: BatchId,
        body: NewPlan,
        response: {
          200: TakenPlan,
          ...problemsOfChange('unknown-batch', 'unknown-stage', 'has-errors', 'not-running', 'not-kept'),
        },
      },
    },
    async request => cellar.changePlan(request.params.id, request.body.plan, nameOf(request)),
  )

  app.post(
    '/batches/:id/take-up',
    {
      config: { change: 'took up the batch :id' },
      schema: {
        summary: 'Take up a batch that nobody looks after',
        description:
          'A batch in the records that could not be taken up when the cellar started is tried again. With `plan`, it goes on ' +
          'by that from the stage of the same name.',
        tags: ['batches'],
        params: BatchId,
        body: TakeUp,
        response: {
          200: Done,
          ...problemsOfChange('unknown-batch', 'unknown-stage', 'has-errors', 'not-running', 'not-kept'),
        },
      },
    },
    async request => {
      cellar.takeUp(request.params.id, request.body.plan, nameOf(request))
      return DONE
    },
  )

  app.post(
    '/batches/:id/note',
    {
      config: { change: 'added a note to the batch :id' },
      schema: {
        summary: 'Add a note',
        description: 'Words of the brewer, kept in the log of the batch.',
        tags: ['batches'],
        params: BatchId,
        body: Note,
        response: { 200: Done, ...problemsOfChange('unknown-batch') },
      },
    },
    async request => {
      cellar.note(request.params.id, request.body.text, nameOf(request))
      return DONE
    },
  )
}
