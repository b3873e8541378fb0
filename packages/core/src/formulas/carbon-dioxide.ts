/** Carbon dioxide in beer. One volume is the gas that would fill the beer's own volume at 0 °C and 101.325 kPa. */

/** g of carbon dioxide per L and volume: 44.0095 g/mol over 22.2605 L/mol, the real gas at 0 °C and 101.325 kPa. */
export const CO2_G_PER_L_VOLUME = 1.977

const PSI_PER_BAR = 14.503774

/**
 * Carbon dioxide in beer at equilibrium, g/L, with pure gas above it. Henry form of K. Troester: the metric table of the
 * trade to its rounding, -1 to 25 °C and 0 to 1 bar gauge; reads 0.03 volumes above the ASBC chart on average.
 * @param pressure_bar above the atmosphere
 */
export function carbonDioxide_g_per_L(temperature_C: number, pressure_bar = 0): number {
  return (pressure_bar + 1.013) * Math.exp(-10.73797 + 2617.25 / (temperature_C + 273.15)) * 10
}

/** Pressure above the atmosphere, bar, that holds so much carbon dioxide: the inverse of carbonDioxide_g_per_L. */
export function pressureForCarbonDioxide_bar(temperature_C: number, carbonDioxide_g_per_L: number): number {
  return carbonDioxide_g_per_L / (10 * Math.exp(-10.73797 + 2617.25 / (temperature_C + 273.15))) - 1.013
}

/**
 * Carbon dioxide in beer at equilibrium as the ASBC chart reads, volumes. Henry form with an offset, fitted here to the 292
 * points of the chart (BrewingTechniques 2/1, 1994): -1 to 8.3 °C, 0.07 to 1.65 bar gauge; rms 0.014, worst 0.042 volumes;
 * extended charts up to 2.07 bar are met within 0.06.
 */
export function carbonDioxideByChart_volumes(temperature_C: number, pressure_bar: number): number {
  const absolute_bar = pressure_bar + 14.695 / PSI_PER_BAR
  return absolute_bar * Math.exp(-9.47555714 + 2708.84154 / (temperature_C + 273.15)) + 0.0369669941
}

/**
 * Carbon dioxide left in beer that fermented without pressure, volumes, from the highest temperature it has had since it
 * finished. Polynomial of the priming tables, 0-27 °C; within 0.03 of the table. It follows water at one atmosphere, about
 * 5 % above what the fits for beer say.
 */
export function residualCarbonDioxide_volumes(warmest_C: number): number {
  const t_F = warmest_C * 1.8 + 32
  return 3.0378 - 0.050062 * t_F + 0.00026555 * t_F * t_F
}
