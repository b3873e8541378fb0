/**
 * Balling's balance: 2.0665 g of extract give 1 g of ethanol, 0.9565 g of carbon dioxide and 0.11 g of yeast.
 * Source: C. J. N. Balling, Die Gaehrungschemie, as used ever since in brewing analysis.
 */
export const EXTRACT_PER_ETHANOL = 2.0665
export const ETHANOL_PER_EXTRACT = 1 / EXTRACT_PER_ETHANOL
export const CO2_PER_EXTRACT = 0.9565 / EXTRACT_PER_ETHANOL
export const YEAST_PER_EXTRACT = 0.11 / EXTRACT_PER_ETHANOL

/** Balling: real extract = 0.1808 original extract + 0.8192 apparent extract. */
export const REAL_PER_APPARENT_DROP = 0.8192
