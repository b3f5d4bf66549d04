import { type AirState, celsiusZero_K, dryAirPressure_Pa, vapourPressure_Pa } from './air.ts'

/** Specific gas constants of dry air and of water vapour. [J/(kg K)] */
const dryAirConstant_J_per_kg_K = 287.05
const vapourConstant_J_per_kg_K = 461.495

/** CIPM-2007 constants; molar masses for 0.04 % carbon dioxide. Picard et al. 2008, table 1 and appendix A. */
const cipm = {
  gasConstant_J_per_mol_K: 8.314472,
  vapourMass_kg_per_mol: 18.01528e-3,
  airMass_kg_per_mol: 28.96546e-3,
} as const

/**
 * Density of moist air as a mixture of two ideal gases.
 *
 * ρ = pd / (Rd T) + e / (Rv T).
 *
 * @param air station pressure, temperature and humidity.
 * @returns density. [kg/m3]
 * @throws EngineError `ERR_OUT_OF_RANGE` outside the intervals of `AirState`.
 *
 * Uncertainty: within 0.1 % of CIPM-2007 at rig conditions.
 * Source: Dalton's law; gas constants of the 1976 standard atmosphere. Tested: tests/published/density-altitude.test.ts.
 */
export function airDensity_kg_per_m3(air: AirState): number {
  const dry = dryAirPressure_Pa(air) / dryAirConstant_J_per_kg_K
  const vapour = vapourPressure_Pa(air.airTemperature_K, air.relativeHumidity_1) / vapourConstant_J_per_kg_K
  return (dry + vapour) / air.airTemperature_K
}

/**
 * Altitude at which the standard atmosphere has this density.
 *
 * DA = 44330.8 - 42266.5 ρ^0.234969.
 *
 * @param density_kg_per_m3 air density. [kg/m3], above 0
 * @returns density altitude. [m], negative in dense air
 *
 * Pure; never throws. Source: inversion of the 1976 standard atmosphere below 11 km (constants from memory).
 * Tested: tests/published/density-altitude.test.ts.
 */
export function densityAltitude_m(density_kg_per_m3: number): number {
  return 44330.8 - 42266.5 * density_kg_per_m3 ** 0.234969
}

/** Mole fraction of vapour: humidity, enhancement and saturation in CIPM-2007's own form. */
function cipmVapourFraction_1({ stationPressure_Pa: p, airTemperature_K: T, relativeHumidity_1: h }: AirState): number {
  const t = T - celsiusZero_K
  const f = 1.00062 + 3.14e-8 * p + 5.6e-7 * t ** 2
  const saturation = Math.exp(1.2378847e-5 * T ** 2 - 1.9121316e-2 * T + 33.93711047 - 6343.1645 / T)
  return (h * f * saturation) / p
}

/** Compressibility of moist air, CIPM-2007 eq. A1.4. */
function cipmCompressibility_1(p: number, T: number, x: number): number {
  const t = T - celsiusZero_K
  const pT = p / T
  const first = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t ** 2
  const mixed = (5.707e-6 - 2.051e-8 * t) * x + (1.9898e-4 - 2.376e-6 * t) * x ** 2
  return 1 - pT * (first + mixed) + pT ** 2 * (1.83e-11 - 0.765e-8 * x ** 2)
}

/**
 * Density of moist air by the equation of the mass metrologists, against which the ideal mixture is held.
 *
 * ρ = p Ma / (Z R T) · (1 - x (1 - Mv / Ma)), carbon dioxide 0.04 %.
 *
 * @param air station pressure, temperature and humidity.
 * @returns density. [kg/m3]
 * @throws EngineError `ERR_OUT_OF_RANGE` outside the intervals of `AirState`.
 *
 * Uncertainty: 2.2e-5 relative within 600 to 1100 hPa and 15 to 27 °C (range from memory); outside it is a comparison
 * value only.
 * Source: A. Picard et al., Metrologia 45 (2008) 149-155. Tested: tests/published/air-density.test.ts.
 */
export function cipm2007Density_kg_per_m3(air: AirState): number {
  dryAirPressure_Pa(air)
  const { stationPressure_Pa: p, airTemperature_K: T } = air
  const { gasConstant_J_per_mol_K: R, vapourMass_kg_per_mol: Mv, airMass_kg_per_mol: Ma } = cipm
  const x = cipmVapourFraction_1(air)
  const Z = cipmCompressibility_1(p, T, x)
  return ((p * Ma) / (Z * R * T)) * (1 - x * (1 - Mv / Ma))
}
