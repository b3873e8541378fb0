/**
 * How the speed of yeast depends on temperature: the cardinal temperature model with inflection, Rosso et al. 1993, used
 * for Saccharomyces by Salvado et al., Appl. Environ. Microbiol. 77 (2011) 2292. 0 at and outside `lowest_C` and
 * `highest_C`, 1 at `best_C`. Valid where best_C is above the middle of the two (all brewing yeasts).
 */
export interface CardinalTemperatures {
  readonly lowest_C: number
  readonly best_C: number
  readonly highest_C: number
}

/** Share of the speed at the best temperature, 0..1. */
export function cardinalFactor(temperature_C: number, limits: CardinalTemperatures): number {
  const { lowest_C, best_C, highest_C } = limits
  if (!(temperature_C > lowest_C && temperature_C < highest_C)) return 0
  const aboveLowest = temperature_C - lowest_C
  const span = best_C - lowest_C
  const bend =
    span * (temperature_C - best_C) - (best_C - highest_C) * (best_C + lowest_C - 2 * temperature_C)
  return ((temperature_C - highest_C) * aboveLowest * aboveLowest) / (span * bend)
}
