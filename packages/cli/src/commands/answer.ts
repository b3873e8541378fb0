import type { BatchView } from '@attemper/server/live/cellar.ts'
import { actOnBatch, pathOf } from '../cellar/batch-action.ts'
import { BATCH_ARGUMENT } from '../cellar/which-batch.ts'
import { CELLAR_OPTION } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { UsageError } from '../exit-status.ts'

/** Answers what a plan, or an interlock, has asked the brewer. */
export const ANSWER: Command = {
  name: 'answer',
  alias: 'ack',
  summary: 'Answers a question of a batch: may it go on, is the task done? (Also: ack.)',
  arguments: [
    BATCH_ARGUMENT,
    {
      name: 'QUESTION',
      about: "the question's number, or yes or not-yet when only one is open",
      optional: true,
    },
    {
      name: 'ANSWER',
      about: 'yes (go on, done) or not-yet (stay, ask again later); usually yes',
      optional: true,
    },
  ],
  options: [CELLAR_OPTION, ...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper answer amber 3 yes', 'attemper answer amber not-yet', 'attemper ack amber'],
  statuses: { good: 'answered', bad: 'the cellar refused, for example because the question is not open' },
  run: (given, io) =>
    actOnBatch(given, io, async (client, batch) => {
      const [, second, third] = given.arguments
      const isNumber = second !== undefined && /^\d+$/.test(second)
      const question = isNumber ? Number(second) : onlyQuestion(await client.get<BatchView>(pathOf(batch)))
      await client.post(pathOf(batch, '/answer'), { question, answer: answerOf(isNumber ? third : second) })
      return ''
    }),
}

function onlyQuestion({ batch, questions }: BatchView): number {
  if (questions.length === 1) return questions[0]!.id
  if (questions.length === 0) throw new UsageError(`No question of ${batch.id} is open.`)
  const list = questions.map(({ id, about, text }) => `${id} (${text === '' ? about : text})`).join(', ')
  throw new UsageError(`Several questions of ${batch.id} are open, so say which: ${list}.`)
}

function answerOf(word: string | undefined): 'yes' | 'not yet' {
  if (word === undefined || /^(yes|y|done)$/i.test(word)) return 'yes'
  if (/^not[- ]?yet$/i.test(word)) return 'not yet'
  throw new UsageError(`The answer should be yes or not-yet, but is "${word}".`)
}
