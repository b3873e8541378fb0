import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { readGravityText, type Sample } from '@attemper/core/units/read-gravity.ts'

/** What a brewer has typed as a gravity: the text for the cellar and its value, or what is wrong with it. */
export type WrittenGravity =
  | { readonly ok: true; readonly text: string; readonly gravity: number }
  | { readonly ok: false; readonly problem: string }

/**
 * Reads a gravity as it is typed off a hydrometer. Whoever reads specific gravity may leave out the point, or "1.0":
 * "1012" and "12" are 1.012, "9" is 1.009. Whoever reads degrees Plato may leave out the unit. What a
 * refractometer shows has its unit, °Bx. null: nothing is typed.
 */
export function writtenGravity(
  typed: string,
  { gravity }: DisplayUnits,
  sample: Sample,
): WrittenGravity | null {
  const given = typed.trim().replace(',', '.')
  if (given === '') return null
  const text = completed(given, gravity)
  const read = readGravityText(text, sample)
  if (!read.ok) return { ok: false, problem: `${read.problem.message} ${read.problem.cure}` }
  return { ok: true, text, gravity: read.value }
}

function completed(given: string, unit: DisplayUnits['gravity']): string {
  if (unit === 'P')
    return /^-?\d+(?:\.\d+)?$/.test(given) && !/^[01]\.\d{3,}$/.test(given) ? `${given} °P` : given
  if (/^(?:09[5-9]\d|1[01]\d\d)$/.test(given)) return `${given.slice(0, 1)}.${given.slice(1)}`
  if (/^99\d$/.test(given)) return `0.${given}`
  if (/^\d{1,3}$/.test(given)) return `1.${given.padStart(3, '0')}`
  return given
}
