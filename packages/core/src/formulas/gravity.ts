/**
 * Extract and specific gravity. Extract is the mass share of dissolved sucrose (°P, g per 100 g) that gives a solution its
 * density; gravity is the apparent specific gravity at 20 °C against water at 20 °C.
 *
 * Source: sucrose table of NBS Circular 440 (Bates 1942) and the laboratory densities of aqueous sucrose at 20 °C that
 * stand beside it in test/published. The published cubic fit to that table misses water by 0.005 °P, and the cubic of the
 * ASBC tables drifts by 0.00012 at 30 °P; so the three coefficients here were fitted to the table anew, through water.
 * Within 0.00002 of every row from 0 to 30 °P, and within 0.004 °P of the published NBS cubic from 1.004 to 1.130.
 * Below 1.000 (dry wines, to 0.98) extract is negative: the same curve, continued, as the saccharometers were.
 */
const A = 258.513
const B = -224.021
const C = 163.835

/** °P from specific gravity 20/20 °C, 0.98 to 1.17. Error: 0.005 °P from 1.000 to 1.130, 0.015 °P up to 1.178. */
export function platoFromSg(sg: number): number {
  const excess = sg - 1
  return excess * (A + excess * (B + excess * C))
}

/** Specific gravity 20/20 °C from °P, -5 to 40 °P: the exact inverse of platoFromSg, to 1e-12. */
export function sgFromPlato(plato: number): number {
  // The first guess is within 0.0005, and Newton's method doubles the correct digits at each pass.
  let excess = plato / (A - 0.86 * plato)
  for (let pass = 0; pass < 2; pass++) {
    const miss = excess * (A + excess * (B + excess * C)) - plato
    excess -= miss / (A + excess * (2 * B + excess * 3 * C))
  }
  return 1 + excess
}
