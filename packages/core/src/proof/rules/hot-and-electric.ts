import type { Rule } from '../rule.ts'

/** More than a heating belt or pad: enough to scald or to set something alight. Common practice, no source. */
const STRONG_W = 100

export const hotAndElectric: Rule = {
  code: 'hot-and-electric',
  severity: 'note',
  title: 'A hot-side plan, or a heater of more than 100 W: the usual caution.',
  why: 'Software is never the only protection against heat and electricity.',
  check: ({ plan, vessel, say }) => {
    const heater = vessel?.heater
    const isStrong = heater !== undefined && heater.power_W.value > STRONG_W
    if (plan.side !== 'hot side' && !isStrong) return []
    return [
      {
        ...(isStrong
          ? { file: 'vessel' as const, place: heater.place }
          : { file: 'plan' as const, place: plan.place }),
        message: isStrong
          ? `A heater of ${say.power(heater.power_W.value)} can scald and burn when a relay sticks or it runs dry.`
          : 'Hot wort scalds, and a heater that runs dry or whose relay sticks burns.',
        cure: 'Fit an independent over-temperature cut-out and residual-current protection, stay with it while it is hot, and follow local codes and licensed practice.',
      },
    ]
  },
}
