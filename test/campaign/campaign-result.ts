import type { EpisodeResult } from './episode.ts'
import { INVARIANTS, type Invariant } from './invariants.ts'
import type { Broken } from './story.ts'

/** Years of which an invariant must have been judged at least once: shorter campaigns may miss a rare moment. */
const YEARS_TO_JUDGE = 5

export interface CampaignResult {
  /** Of all vessels together. */
  years: number
  stories: number
  /** How often, by kind. */
  readonly faults: Record<string, number>
  /** Moments judged, by invariant. */
  readonly judged: Record<Invariant, number>
  readonly broken: Broken[]
}

export function emptyResult(): CampaignResult {
  const judged = Object.fromEntries(INVARIANTS.map(({ name }) => [name, 0])) as Record<Invariant, number>
  return { years: 0, stories: 0, faults: {}, judged, broken: [] }
}

export function joinEpisode(result: CampaignResult, episode: EpisodeResult): void {
  result.stories++
  result.years += episode.vesselDays / 365
  for (const [kind, count] of episode.faults) result.faults[kind] = (result.faults[kind] ?? 0) + count
  for (const [invariant, count] of episode.judged) result.judged[invariant] += count
  result.broken.push(...episode.broken)
}

/** A judge that has judged nothing proves nothing. */
export function unjudged({ judged, years }: CampaignResult): readonly Invariant[] {
  if (years < YEARS_TO_JUDGE) return []
  return INVARIANTS.filter(({ name }) => judged[name] === 0).map(({ name }) => name)
}

export function isGood(result: CampaignResult): boolean {
  return result.broken.length === 0 && unjudged(result).length === 0
}

export function printResult(result: CampaignResult, took_s: number): string {
  const { years, stories, faults, judged, broken } = result
  const lines = [
    `${years.toFixed(1)} vessel-years in ${stories} stories, ${took_s.toFixed(0)} s`,
    '',
    'Faults',
    ...table(Object.entries(faults).toSorted(([a], [b]) => (a < b ? -1 : 1))),
    '',
    'Moments judged',
    ...table(INVARIANTS.map(({ name }) => [name, judged[name]])),
  ]
  for (const name of unjudged(result))
    lines.push('', `FAILED: “${name}” was never judged, so nothing is known of it.`)
  for (const { seed, invariant, at_s, story } of broken) {
    lines.push(
      '',
      `BROKEN, seed ${seed}, ${at_s} s: ${invariant}`,
      ...story.split('\n').map(line => `  ${line}`),
    )
  }
  if (broken.length > 0) {
    const { seed } = broken[0]!
    lines.push('', `The whole story again: npm run campaign -- --seed ${seed} --years 0 --trace`)
  }
  const seeds = [...new Set(broken.map(each => each.seed))]
  lines.push(
    '',
    broken.length === 0
      ? 'Nothing was broken.'
      : `${broken.length} broken, with the seeds ${seeds.join(', ')}.`,
  )
  return lines.join('\n')
}

function table(rows: readonly (readonly [string, number])[]): string[] {
  const width = Math.max(0, ...rows.map(([name]) => name.length))
  return rows.map(([name, count]) => `  ${name.padEnd(width)}  ${String(count).padStart(9)}`)
}
