import { Type } from 'typebox'

const Temperature = Type.Enum(['C', 'F'], { description: '“C” or “F”.' })
const Gravity = Type.Enum(['SG', 'P'], {
  description: '“SG” (specific gravity) or “P” (degrees Plato).',
})
const Volume = Type.Enum(['L', 'gal'], { description: '“L” or “gal” (US gallons).' })
const Clock = Type.Enum(['24 h', '12 h'], { description: '“24 h” or “12 h”.' })
const Appearance = Type.Enum(['system', 'light', 'dark'], {
  description: '“light”, “dark”, or “system”: as the device is set.',
})

export const Preferences = Type.Object(
  { temperature: Temperature, gravity: Gravity, volume: Volume, clock: Clock, appearance: Appearance },
  {
    description:
      'How somebody wants to read things. Answers of the interface are in °C, SG and litres all the same.',
  },
)

export const NewPreferences = Type.Object(
  {
    temperature: Type.Optional(Temperature),
    gravity: Type.Optional(Gravity),
    volume: Type.Optional(Volume),
    clock: Type.Optional(Clock),
    appearance: Type.Optional(Appearance),
  },
  { additionalProperties: false },
)
