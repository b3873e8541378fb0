import { type Bands, listBands, type Watched } from '../bands.ts'
import type { Complaint, Rule } from '../rule.ts'
import type { Say } from '../say.ts'

export const bandsOverlap: Rule = {
  code: 'bands-overlap',
  severity: 'warning',
  title:
    'Heating and cooling bands that overlap (an error), or that lie closer together than the noise of the thermometer.',
  why: 'What the heater brings in the cooler would take out again, for ever.',
  check: context =>
    listBands(context).flatMap(bands =>
      // In a cascade the two may be switched by different temperatures, whose bands can not be compared.
      bands.heat && bands.cool && bands.heat.channel === bands.cool.channel
        ? complain(bands, bands.heat, context.say)
        : [],
    ),
}

function complain(
  { settings, where, file, place }: Bands,
  { instrument, noise_K }: Watched,
  say: Say,
): readonly Complaint[] {
  const { heatStart_K, heatStop_K, coolStart_K, coolStop_K } = settings
  const complaints: Complaint[] = []
  const look = (gap_K: number, wrong: string, cure: string) => {
    if (gap_K <= 0)
      complaints.push({
        severity: 'error',
        file,
        place,
        message: `Heating and cooling ${gap_K === 0 ? 'touch' : `overlap by ${say.difference(-gap_K)}`}${where}: ${wrong}.`,
        cure,
      })
    else if (gap_K < noise_K * (1 - 1e-9))
      complaints.push({
        file,
        place,
        message: `Between heating and cooling only ${say.difference(gap_K)} are left${where}, but the noise of the ${instrument.name} alone spans ${say.difference(noise_K)}: ${wrong}.`,
        cure,
      })
  }
  look(
    coolStart_K + heatStop_K,
    'the heater on its way up would start the cooler',
    `Let the cooler start at least ${say.difference(Math.max(noise_K, 0.1))} above the point where the heater stops.`,
  )
  look(
    coolStop_K + heatStart_K,
    'the cooler on its way down would start the heater',
    `Let the cooler stop at least ${say.difference(Math.max(noise_K, 0.1))} above the point where the heater starts.`,
  )
  return complaints
}
