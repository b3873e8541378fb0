/** The units in which a brewer wants to read things. Inside, everything is °C, specific gravity and litres. */
export interface DisplayUnits {
  readonly temperature: 'C' | 'F'
  /** Specific gravity, or degrees Plato. */
  readonly gravity: 'SG' | 'P'
  /** Litres, or US gallons. */
  readonly volume: 'L' | 'gal'
  /** How times of day are written. Left out: 24 h. */
  readonly clock?: '24 h' | '12 h'
}

export const USUAL_UNITS: DisplayUnits = { temperature: 'C', gravity: 'SG', volume: 'L' }
