import { beerGravityFromRefractometer, wortGravityFromRefractometer } from '../formulas/refractometer.ts'
import { parseQuantity } from './parse.ts'
import { type Parsed, parsed, refused } from './problem.ts'
import { normalUnit } from './quantity.ts'

/** What the sample was, for a reading of a refractometer: in wort it shows extract, in beer extract and alcohol together. */
export type Sample = 'wort' | { readonly beerFrom_SG: number | null }

const REFRACTOMETER = /^([\d.]+)(?:°bx|bx|°brix|brix)$/

/**
 * Reads a gravity as a person writes it down: "1.012", "3.1 °P", or what a refractometer shows, "6.4 °Bx", which is
 * corrected for the alcohol from the original gravity and refused without one. SG 20/20. Never throws.
 */
export function readGravityText(text: string, sample: Sample): Parsed<number> {
  const written = REFRACTOMETER.exec(normalUnit(text.replace(',', '.')))
  if (written === null) return parseQuantity(text, 'gravity')
  const reading_Bx = Number(written[1])
  if (!(reading_Bx <= GREATEST_BX)) {
    const cure = 'Write what the refractometer shows, for example 6.4 °Bx.'
    return refused('out-of-range', 0, text.length, `${text.trim()} is more than wort can have.`, cure)
  }
  if (sample === 'wort') return parsed(wortGravityFromRefractometer(reading_Bx))
  if (sample.beerFrom_SG === null) {
    return refused(
      'missing-value',
      0,
      text.length,
      'A refractometer reads the alcohol too, so that °Bx alone tells no gravity once yeast is at work.',
      'Say the original gravity first, or read a hydrometer.',
    )
  }
  return parsed(beerGravityFromRefractometer(reading_Bx, sample.beerFrom_SG))
}

/** Wort of 1.200 shows about this much; more is a slip of the pen. */
const GREATEST_BX = 45

/** Whether a text is a reading of a refractometer, so that whoever shows the gravity says where it is from. */
export function isRefractometerText(text: string): boolean {
  return REFRACTOMETER.test(normalUnit(text.replace(',', '.')))
}
