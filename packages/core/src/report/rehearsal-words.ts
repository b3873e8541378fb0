import type { DrillResult, Risk, StageSummary } from '../rehearsal/result.ts'
import type { DisplayUnits } from '../units/display.ts'
import { formatNumber } from '../units/format.ts'
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

/** How bad a risk is in the median run that suffers it; temperatures in the brewer's degrees. */
export function extentText(risk: Pick<Risk, 'extent' | 'unit'>, units: DisplayUnits): string {
  const median = risk.extent.p50
  if (median === null) return ''
  const degrees = /^K(?=$|·)/.test(risk.unit)
  const fahrenheit = degrees && units.temperature === 'F'
  const value = fahrenheit ? median * 1.8 : median
  const unit = (degrees ? risk.unit.replace(/^K/, `°${units.temperature}`) : risk.unit).replace(
    ' a day',
    '/d',
  )
  return `${formatNumber(value, Math.abs(value) < 10 ? (Math.abs(value) < 1 ? 2 : 1) : 0)} ${unit}`
}

/** Drills with the worst verdict first, otherwise as they come. */
export function worstFirst(drills: readonly DrillResult[]): readonly DrillResult[] {
  return drills.toSorted((one, other) => VERDICTS.indexOf(one.verdict) - VERDICTS.indexOf(other.verdict))
}

const VERDICTS: readonly DrillResult['verdict'][] = [
  'failed',
  'needed the brewer',
  'passed',
  'not applicable',
]

/** What happens, and how well that is founded. */
export function riskText({ message, weaklyFounded }: Pick<Risk, 'message' | 'weaklyFounded'>): string {
  return weaklyFounded
    ? `${message} A rough guess: its model may be wrong by a factor of two or three.`
    : message
}
