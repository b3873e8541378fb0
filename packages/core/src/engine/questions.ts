import type { AnswerInput } from './contract.ts'
import type { Draft } from './draft.ts'
import type { Answer, Question } from './events.ts'

/** After 'not yet' the same question is not put again for this long. */
const ASK_AGAIN_S = 86_400

type About = Question['about']

const keyOf = (question: Pick<Question, 'about' | 'stage' | 'subject'>) =>
  `${question.about}|${question.stage}|${question.subject}`

/** Puts a question to the brewer, unless it is open already or was declined a short while ago. */
export function ask(draft: Draft, about: About, stage: string, text: string, subject: string): void {
  const { state, now_s, scope, events } = draft
  for (const open of state.questions) {
    if (open.about === about && open.stage === stage && open.subject === subject) return
  }
  const key = keyOf({ about, stage, subject })
  const declined = state.declined.find(each => each.key === key)
  if (declined && now_s < declined.until_s) {
    scope.wake(declined.until_s)
    return
  }
  const question: Question = { id: state.nextQuestion, about, stage, text, subject }
  state.nextQuestion++
  state.questions = [...state.questions, question]
  if (declined) state.declined = state.declined.filter(each => each !== declined)
  events.push({ kind: 'asked', at_s: now_s, question })
}

/** Takes the answers to open questions; answers to others are passed over (they came late, or twice). */
export function takeAnswers(draft: Draft, answers: readonly AnswerInput[]): readonly [Question, Answer][] {
  const taken: [Question, Answer][] = []
  for (const { question: id, answer } of answers) {
    const question = draft.state.questions.find(each => each.id === id)
    if (!question) continue
    close(draft, question, answer)
    if (answer === 'not yet') {
      const declined = { key: keyOf(question), until_s: draft.now_s + ASK_AGAIN_S }
      draft.state.declined = [...draft.state.declined, declined]
      draft.scope.lookAgain()
    }
    taken.push([question, answer])
  }
  return taken
}

/** Closes the open questions for which `applies` holds: their cause has gone away. */
export function withdraw(draft: Draft, applies: (question: Question) => boolean): void {
  for (const question of draft.state.questions) {
    if (applies(question)) close(draft, question, 'withdrawn')
  }
}

function close(draft: Draft, question: Question, answer: Answer | 'withdrawn'): void {
  draft.state.questions = draft.state.questions.filter(each => each !== question)
  draft.events.push({ kind: 'answered', at_s: draft.now_s, question, answer })
}
