/**
 * Heat released per kg of extract fermented, kJ. 140 kcal/kg = 586.6; the enthalpies of formation give 563 per kg of
 * glucose and 591 per kg of maltose. Textbooks range from 557 to 655; the 1217 in circulation is close to the Gibbs energy and
 * twice too high.
 */
export const HEAT_OF_FERMENTATION_kJ_per_kg = 587

/** Heat released, kJ, while `wort_kg` falls by so much apparent extract. Balling: the real drop is 0.8192 of it. */
export function heatOfFermentation_kJ(
  wort_kg: number,
  apparentDrop_P: number,
  heat_kJ_per_kg = HEAT_OF_FERMENTATION_kJ_per_kg,
): number {
  return wort_kg * ((0.8192 * apparentDrop_P) / 100) * heat_kJ_per_kg
}
