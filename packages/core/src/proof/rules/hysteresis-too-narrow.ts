import { type Bands, listBands, type Watched } from '../bands.ts'
import type { Complaint, Rule } from '../rule.ts'
import type { Say } from '../say.ts'

export const hysteresisTooNarrow: Rule = {
  code: 'hysteresis-too-narrow',
  severity: 'warning',
  title:
    'A band between switching on and off that is narrower than the noise of the thermometer (six standard deviations) or two steps of its readings.',
  why: 'The noise alone would switch the appliance on and off, and wear out its relay or its compressor.',
  check: context =>
    listBands(context).flatMap(bands => [
      ...(bands.heat ? complain(bands, bands.heat, 'heat', context.say) : []),
      ...(bands.cool ? complain(bands, bands.cool, 'cool', context.say) : []),
    ]),
}

function complain(
  { settings, where, file, place }: Bands,
  { instrument, channel, noise_K }: Watched,
  side: 'heat' | 'cool',
  say: Say,
): readonly Complaint[] {
  const [start_K, stop_K] =
    side === 'heat'
      ? [settings.heatStart_K, settings.heatStop_K]
      : [settings.coolStart_K, settings.coolStop_K]
  const band_K = start_K - stop_K
  const name = side === 'heat' ? 'heater' : 'cooler'
  if (band_K <= 0)
    return [
      {
        severity: 'error',
        file,
        place,
        message: `The ${name} would start at ${say.difference(start_K)} and stop at ${say.difference(stop_K)} from the target${where}: it would stop before it starts.`,
        cure: `Let it start further from the target than it stops, for example \`${side}: { start: ${say.difference(0.3)}, stop: ${say.difference(0)} }\`.`,
      },
    ]
  const steps_K = 2 * channel.resolution
  const least_K = Math.max(noise_K, steps_K)
  if (band_K >= least_K * (1 - 1e-9)) return []
  const because =
    noise_K >= steps_K
      ? `the noise of the ${instrument.name} alone spans ${say.difference(noise_K)}`
      : `two steps of the ${instrument.name} are ${say.difference(steps_K)}`
  return [
    {
      file,
      place,
      message: `The ${name} switches within ${say.difference(band_K)}${where}, but ${because}: it would chatter.`,
      cure: `Make the band at least ${say.difference(least_K)} wide, or use a quieter thermometer.`,
    },
  ]
}
