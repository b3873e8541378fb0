import type { DrillResult, StageSummary } from '../rehearsal/result.ts'
import { smallShare } from './headline.ts'

/** The harm of a risk in a word: 0 is a nuisance, 1 a lost batch. */
export function harmWord(harm: number): string {
  if (harm < 0.15) return 'nuisance'
  if (harm < 0.4) return 'slight'
  return harm < 0.75 ? 'serious' : 'batch lost'
}

/** Told apart by shape, so that nobody needs a colour. */
export const VERDICT_SIGNS: Record<DrillResult['verdict'], string> = {
  failed: '✗',
  'needed the brewer': '?',
  passed: '✓',
  'not applicable': '–',
}

const ENDINGS = {
  condition: 'condition',
  answer: 'your answer',
  branch: 'branch',
  fallback: 'fallback',
  late: 'longest time',
  never: 'never',
} as const

/** How a stage ended, the most frequent way first. */
export function endedText(ended: StageSummary['ended'], entered: number): string {
  const ways = (Object.keys(ENDINGS) as (keyof typeof ENDINGS)[])
    .filter(way => ended[way] > 0)
    .sort((one, other) => ended[other] - ended[one])
    .map(way => (ended[way] === 1 ? ENDINGS[way] : `${ENDINGS[way]} ${smallShare(ended[way])}`))
  if (entered < 1) ways.push(`(entered in ${smallShare(entered)} of runs)`)
  return ways.join(', ')
}
