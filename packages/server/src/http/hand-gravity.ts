import { readGravityText, type Sample } from '@attemper/core/units/read-gravity.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { HttpProblem } from './errors.ts'

/** Specific gravity from what the brewer wrote, of wort or of beer of a known original gravity. Throws an HttpProblem with the cure. */
export function readGravity(text: string, sample: Sample): number {
  const read = readGravityText(text, sample)
  if (read.ok) return read.value
  const { message, cure } = read.problem
  throw new HttpProblem('wrong-value', `/gravity in the body: ${message}`, { cure })
}

/** The most trusted instrument of a vessel file that measures gravity and is read by hand. Throws when there is none. */
export function findHandHydrometer(vesselText: string): string {
  const { vessel } = readVessel(vesselText, 'vessel')
  const byHand = (vessel?.instruments ?? []).filter(
    instrument => instrument.byHand && instrument.channels.some(channel => channel.quantity === 'gravity'),
  )
  const trusted = vessel?.trust.gravity ?? []
  const found = byHand.find(instrument => trusted.includes(instrument.name)) ?? byHand[0]
  if (found !== undefined) return found.name
  throw new HttpProblem(
    'no-hand-instrument',
    'The vessel of this batch has no instrument that measures gravity and is read by hand.',
    {
      cure:
        'Add one to the vessel’s file before the next batch: “- instrument: Hydrometer”, “by hand: true”, ' +
        '“every: 2 d”, “measures: { gravity: {} }”. Until then, keep the value as a note.',
    },
  )
}
