import { LEAST_INTERVALS, silenceAllowed_s } from '../../vessel/timeout.ts'
import type { Rule } from '../rule.ts'

export const timeoutTooShort: Rule = {
  code: 'timeout-too-short',
  severity: 'warning',
  title: `A timeout shorter than ${LEAST_INTERVALS} reporting intervals of its instrument.`,
  why: 'A float that reports every half an hour against a timeout of two minutes would be lost and found again between any two of its reports, and control would flap between instruments.',
  check: ({ vessel, say }) =>
    (vessel?.instruments ?? []).flatMap(instrument => {
      const { timeout_s, every_s } = instrument
      if (timeout_s === undefined || timeout_s >= LEAST_INTERVALS * every_s) return []
      const used_s = silenceAllowed_s(instrument)
      return [
        {
          file: 'vessel' as const,
          place: instrument.places.timeout ?? instrument.place,
          message: `The ${instrument.name} reports every ${say.time(every_s)}, so that a timeout of ${say.time(timeout_s)} would lose it between two reports; ${say.time(used_s)} will be used instead.`,
          cure: `Write at least \`timeout: ${say.time(LEAST_INTERVALS * every_s)}\`, or leave it out.`,
        },
      ]
    }),
}
