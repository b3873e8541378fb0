import { quantity } from '../source-text/value-shapes.ts'

/** A temperature that beer, wort, mash or their surroundings can have; outside it is a slip of the pen. */
export const beerTemperature = quantity('temperature', {
  least: -20,
  greatest: 120,
  said: 'Write a temperature from -20 °C to 120 °C (-4 °F to 248 °F).',
})
