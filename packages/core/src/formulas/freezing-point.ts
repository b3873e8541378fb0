/**
 * Temperature at which beer begins to freeze, °C: Tf = -(0.04 OE + 0.42 A + 0.2), with the original extract in °P and the
 * alcohol in % by volume as in the printed examples. Source: brewery pages that all quote one unnamed formula; the version
 * with a positive extract term that is also in circulation contradicts its own worked examples. 0-25 °P, 0-10 %; within
 * 0.05 K of those examples. It is colder than ideal solutions are, by 0.5 to 0.9 K: to warn of frost, use
 * idealFreezingPoint_C.
 */
export function freezingPoint_C(original_P: number, alcoholByVolume_percent: number): number {
  return -(0.04 * original_P + 0.42 * alcoholByVolume_percent + 0.2)
}

/** Freezing point depression of water, K kg/mol, and molar masses, g/mol. Extract counts as maltose or sucrose. */
const CRYOSCOPIC = 1.86
const ETHANOL = 46.07
const EXTRACT = 342.3

/**
 * Freezing point of an ideal solution (Raoult) of the alcohol and the real extract, °C: the warmest temperature at which
 * ice is to be expected. 0-10 % by mass.
 */
export function idealFreezingPoint_C(alcoholByWeight_percent: number, real_P: number): number {
  const mol_per_100g = alcoholByWeight_percent / ETHANOL + real_P / EXTRACT
  const water_g_per_100g = 100 - alcoholByWeight_percent - real_P
  return (-CRYOSCOPIC * mol_per_100g * 1000) / water_g_per_100g
}
