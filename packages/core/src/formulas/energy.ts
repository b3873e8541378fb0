/**
 * Energy in the beer as a food, kcal per 100 g: 6.9 per % of alcohol by mass and 4 per °P of real extract less 0.1 for ash.
 * ASBC Beer-33, from memory. Times the gravity of the beer: per 100 mL.
 */
export function energy_kcal_per_100g(alcoholByWeight_percent: number, real_P: number): number {
  return 6.9 * alcoholByWeight_percent + 4 * (real_P - 0.1)
}
