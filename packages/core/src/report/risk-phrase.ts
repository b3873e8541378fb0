import type { Risk } from '../rehearsal/result.ts'

/** What may happen, as the end of a sentence that begins with "the biggest risk is that ...". */
export function riskPhrase(risk: Pick<Risk, 'code' | 'stage'>): string {
  const there = risk.stage === null ? '' : ` in ${risk.stage}`
  switch (risk.code) {
    case 'never-leaves-stage':
      return risk.stage === null ? 'it never leaves a stage' : `it never leaves ${risk.stage}`
    case 'waits-for-brewer':
      return `it waits for you${there}`
    case 'too-warm':
      return `the beer gets too warm for the yeast${there}`
    case 'too-cold':
      return `the beer gets too cold for the yeast${there}`
    case 'chilled-early':
      return 'the beer is chilled before it has finished'
    case 'diacetyl':
      return 'the beer is chilled while it would still taste of butter'
    case 'freezing':
      return `the beer freezes${there}`
    case 'limit-broken':
      return `the beer leaves the limits of the plan${there}`
    case 'short-cycling':
      return `the compressor starts too often${there}`
    case 'heater-fights-cooler':
      return `heater and cooler work against each other${there}`
    case 'target-not-followed':
      return `the vessel can not follow the target${there}`
    case 'final-gravity-not-reached':
      return 'the beer stops short of its final gravity'
    case 'instruments-disagree':
      return `the instruments disagree${there}`
    case 'temperature-unknown':
      return `the temperature of the beer is unknown for a while${there}`
    case 'no-response':
      return `heating or cooling has no effect${there}`
  }
}
