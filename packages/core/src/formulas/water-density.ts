/**
 * Density of air-free water at 101.325 kPa, kg/m³, 0-100 °C. Up to 40 °C the formula of the CIPM (Tanaka et al., Metrologia
 * 38 (2001) 301), error 0.001; above it Kell, J. Chem. Eng. Data 20 (1975) 97, whose temperatures are those of IPTS-68,
 * error 0.005. The two meet at 40 °C within 0.005.
 */
export function waterDensity_kg_per_m3(temperature_C: number): number {
  const t = temperature_C
  if (t <= 40) {
    const offset = t - 3.983035
    return 999.97495 * (1 - (offset * offset * (t + 301.797)) / (522528.9 * (t + 69.34881)))
  }
  // One kelvin of ITS-90 is 1.00024 of IPTS-68 in this range.
  const k = 1.00024 * t
  const polynomial =
    999.83952 +
    k * (16.945176 + k * (-7.9870401e-3 + k * (-46.170461e-6 + k * (105.56302e-9 - k * 280.54253e-12))))
  return polynomial / (1 + 16.87985e-3 * k)
}
