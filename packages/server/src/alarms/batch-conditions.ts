import { type AlarmCondition, conditionsOf } from '@attemper/core/alarms/conditions-of.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { Program } from '@attemper/core/engine/program.ts'
import { questionWords } from '@attemper/core/report/sentences/question.ts'

/** What is not right with a batch now, with the words of its questions, so that a message can put them to somebody far away. */
export function batchConditions(program: Program, state: EngineState): readonly AlarmCondition[] {
  return conditionsOf(program, state).map(condition => {
    if (condition.code !== 'question-open') return condition
    const question = state.questions.find(({ id }) => String(id) === condition.subject)
    return question === undefined ? condition : { ...condition, detail: questionWords(question) }
  })
}
