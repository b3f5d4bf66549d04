import type { CorrectionId } from '../../../contract/corrections.ts'

/**
 * Which pressure a standard means by p.
 *
 * `dry`: total minus vapour. `total`: as the barometer shows it. `none`: the standard uses no pressure.
 */
export type PressureDefinition = 'dry' | 'total' | 'none'

/** How the formula and its limits came to be known: read in a source, or recalled. */
export type Provenance = 'found' | 'memory'

/** An interval that a standard sets for itself. */
export interface ValidityRange {
  readonly lower: number
  readonly upper: number
  /** Whether the limits themselves lie inside. */
  readonly includesLimits: boolean
  readonly status: Provenance
}

/** Within which factor, air temperature and pressure a standard says that it holds; absent where it says nothing. */
export interface Validity {
  /** Of the factor. [1] */
  readonly factor?: ValidityRange
  /** Of the intake air. [K] */
  readonly temperature_K?: ValidityRange
  /** Of the pressure by the standard's own definition. [Pa] */
  readonly pressure_Pa?: ValidityRange
}

/** Pressure and temperature at which the factor is 1. */
export interface ReferenceState {
  /** By the standard's own pressure definition. [Pa] */
  readonly pressure_Pa: number
  /** On the standard's own absolute scale; see `kelvinOffset_K`. [K] */
  readonly temperature_K: number
}

/**
 * A power-correction standard, as data and two one-line formulas.
 *
 * With x = (reference pressure / p)^m (T / reference temperature)^n the factor is `factor(x, fm)`, where fm is 1 for
 * spark ignition and follows from the fuel delivery for compression ignition.
 */
export interface CorrectionStandard {
  /** Name on the wire. */
  readonly id: CorrectionId
  /** Name as printed. */
  readonly title: string
  /** Engines it is written for. */
  readonly ignition: 'any' | 'spark' | 'compression'
  /** Which pressure p is. */
  readonly pressure: PressureDefinition
  /** Where the factor is 1; absent for `none`. */
  readonly reference: ReferenceState | undefined
  /**
   * What the standard adds to degrees Celsius to get T. [K]
   *
   * 273.15 where the text says "absolute temperature"; 273 where it prints the sum itself. The choice moves a factor by
   * up to 3e-4, so it is fixed here and never left to the caller.
   */
  readonly kelvinOffset_K: 273.15 | 273
  /** m. [1] */
  readonly pressureExponent_1: number
  /** n. [1] */
  readonly temperatureExponent_1: number
  /** Engine factor fm from the corrected fuel delivery; absent for spark ignition. */
  readonly engineFactor_1: ((fuelDelivery_mg_per_l_cycle: number) => number) | undefined
  /** The factor from x and fm. [1] */
  readonly factor: (airFactor_1: number, engineFactor_1: number) => number
  /** d ln factor / d ln x, for the budget. [1] */
  readonly elasticity_1: (airFactor_1: number, engineFactor_1: number) => number
  /** Where it says that it holds. */
  readonly validity: Validity
  /** Clause or source, in words that a reader can follow up. */
  readonly basis: string
  /** How the formula came to be known. */
  readonly status: Provenance
}

/** The factor is the air factor itself: x. */
export const proportional = {
  engineFactor_1: undefined,
  factor: (airFactor_1: number): number => airFactor_1,
  elasticity_1: (): number => 1,
} as const

/** A closed interval. */
export const closed = (lower: number, upper: number, status: Provenance): ValidityRange => ({
  lower,
  upper,
  includesLimits: true,
  status,
})

/** An interval whose limits lie outside. */
export const open = (lower: number, upper: number, status: Provenance): ValidityRange => ({
  lower,
  upper,
  includesLimits: false,
  status,
})
