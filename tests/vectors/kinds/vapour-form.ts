/**
 * Correction factor in the vapour form of the vectors of kinds `cf` and `detect`; the engine recomputes with the declared
 * standard and another vapour formula.
 *
 * (99/p_d)^1.2 (T/298)^0.6, p_d = p − rh 0.61078 e^{17.27 t/(t + 237.3)}, T = t + 273.15. Source: measurement-model §8, wrong factor.
 */
export function vapourFormFactor(temperature_degC: number, pressure_kPa: number, relativeHumidity_1: number): number {
  const vapour = relativeHumidity_1 * 0.61078 * Math.exp((17.27 * temperature_degC) / (temperature_degC + 237.3))
  return (99 / (pressure_kPa - vapour)) ** 1.2 * ((temperature_degC + 273.15) / 298) ** 0.6
}

/** Kind `cf`. */
export function factors(input: { cases: [number, number, number][] }): unknown {
  return input.cases.map(([t, p, rh]) => vapourFormFactor(t, p, rh))
}
