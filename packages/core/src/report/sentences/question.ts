import type { EngineEvent, Question } from '../../engine/events.ts'

type Of<K extends EngineEvent['kind']> = Extract<EngineEvent, { readonly kind: K }>

export function sayAsked(event: Of<'asked'>): string {
  const { question } = event
  return `Question ${question.id} to the brewer: ${questionWords(question)}`
}

/** What is asked, with the brewer's own words from the plan behind it. */
export function questionWords(question: Question): string {
  const own = question.text === '' || question.about === 'task' ? '' : ` “${question.text}”`
  return `${matterOf(question)}?${own}`
}

export function sayAnswered(event: Of<'answered'>): string {
  const { question, answer } = event
  return answer === 'withdrawn'
    ? `Question ${question.id} is withdrawn, its reason has gone: ${matterOf(question)}?`
    : `The brewer answers “${answer}” to question ${question.id}: ${matterOf(question)}?`
}

/** What is asked, without its question mark. */
function matterOf(question: Question): string {
  const { stage, subject } = question
  switch (question.about) {
    case 'go on':
      return `may ${stage} end`
    case 'branch':
      return subject === '' ? `may ${stage} be left, and the plan end` : `may ${stage} be left for ${subject}`
    case 'late':
      return `${stage} has lasted its longest time, may it end`
    case 'unknown':
      return `nobody can tell whether ${stage} is ready, may it end`
    case 'task':
      return `is “${question.text}” done`
    case 'no response':
      return `the ${subject} had no effect, may it be switched on again`
    case 'limit':
      return 'a limit was broken, may the batch go on'
  }
}
