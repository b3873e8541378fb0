import type { Rule } from '../rule.ts'

export const finalGravityOutOfReach: Rule = {
  code: 'final-gravity-out-of-reach',
  severity: 'warning',
  title:
    'An expected final gravity outside what the yeast is known to reach (an error when it is not below the original one).',
  why: 'Everything that counts from the final gravity would come too early, or never.',
  check: ({ beer, say }) => {
    if (!beer?.yeast) return []
    const { originalGravity, finalGravity, yeast } = beer
    const final = finalGravity.value
    if (final >= originalGravity)
      return [
        {
          severity: 'error',
          file: 'beer',
          place: beer.place,
          message: `The expected final gravity ${say.gravity(final)} is not below the original gravity ${say.gravity(originalGravity)}.`,
          cure: `Expect less than ${say.gravity(originalGravity)}.`,
        },
      ]
    const attenuation = (originalGravity - final) / (originalGravity - 1)
    const { lowest, highest } = yeast.attenuation
    const at = (share: number) => say.gravity(originalGravity - share * (originalGravity - 1))
    if (attenuation >= lowest - 1e-9 && attenuation <= highest + 1e-9) return []
    return [
      {
        file: 'beer',
        place: beer.place,
        message: `From ${say.gravity(originalGravity)} to ${say.gravity(final)} is an attenuation of ${say.share(attenuation)}, but ${yeast.name} is known to reach ${say.share(lowest)} to ${say.share(highest)}.`,
        cure: `Expect a final gravity between ${at(highest)} and ${at(lowest)}, or correct the yeast's attenuation.`,
      },
    ]
  },
}
