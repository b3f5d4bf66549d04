/** Air of a test cell, and what it does to the power of an engine that breathes it. */
export interface CellAir {
  /** Absolute pressure. [Pa] */
  readonly stationPressure_Pa: number
  /** Air in the cell. [K] */
  readonly cell_K: number
  /** Intake air outside the machine. [K] */
  readonly intake_K: number
  /** Relative humidity. [1] */
  readonly relativeHumidity_1: number
}

/**
 * Partial pressure of water vapour. [Pa]
 *
 * e = h 610.78 exp(17.27 t / (t + 237.3)), t in °C (Tetens' form).
 */
export function vapourPressure_Pa(air: Pick<CellAir, 'relativeHumidity_1' | 'cell_K'>): number {
  const t = air.cell_K - 273.15
  return air.relativeHumidity_1 * 610.78 * Math.exp((17.27 * t) / (t + 237.3))
}

/**
 * Correction factor in the form of UN R85 and ISO 1585 for spark ignition: reference power over power in this air. [1]
 *
 * factor = (99 kPa / dry pressure)^1.2 (T / 298 K)^0.6, T the intake air outside the machine.
 */
export function correctionFactor_1(air: CellAir): number {
  const dry_Pa = air.stationPressure_Pa - vapourPressure_Pa({ ...air, cell_K: air.intake_K })
  return (99_000 / dry_Pa) ** 1.2 * (air.intake_K / 298) ** 0.6
}
