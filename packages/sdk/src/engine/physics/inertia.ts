import { EngineError } from '../engine-error.ts'

function requirePositive(value: number, path: string): void {
  if (value > 0 && value < Number.POSITIVE_INFINITY) return
  throw new EngineError('ERR_OUT_OF_RANGE', `${value} is not above 0`, path)
}

/**
 * Moment of inertia of a solid cylinder about its axis.
 *
 * I = m D2 / 8.
 *
 * @param mass_kg [kg], above 0
 * @param diameter_m [m], above 0
 * @returns moment of inertia. [kg m2]
 * @throws EngineError `ERR_OUT_OF_RANGE` when either is not above 0.
 *
 * Tested: tests/published/inertia-drum.test.ts.
 */
export function solidCylinderInertia_kg_m2(mass_kg: number, diameter_m: number): number {
  requirePositive(mass_kg, 'mass_kg')
  requirePositive(diameter_m, 'diameter_m')
  return (mass_kg * diameter_m ** 2) / 8
}

/** A drum that is a plain tube, without its end plates and shaft. */
export interface HollowCylinder {
  /** [kg/m3], above 0 */
  readonly density_kg_per_m3: number
  /** [m], above 0 */
  readonly length_m: number
  /** [m], above the inner radius */
  readonly outerRadius_m: number
  /** [m], at or above 0 */
  readonly innerRadius_m: number
}

/**
 * Mass of a tube.
 *
 * m = π ρ L (ro2 - ri2).
 *
 * @param drum dimensions and density.
 * @returns mass. [kg]
 * @throws EngineError `ERR_OUT_OF_RANGE` when the dimensions do not make a tube.
 *
 * Tested: tests/published/inertia-drum.test.ts.
 */
export function hollowCylinderMass_kg(drum: HollowCylinder): number {
  requireTube(drum)
  return Math.PI * drum.density_kg_per_m3 * drum.length_m * (drum.outerRadius_m ** 2 - drum.innerRadius_m ** 2)
}

/**
 * Moment of inertia of a tube about its axis.
 *
 * I = (π / 2) ρ L (ro4 - ri4).
 *
 * @param drum dimensions and density.
 * @returns moment of inertia. [kg m2]
 * @throws EngineError `ERR_OUT_OF_RANGE` when the dimensions do not make a tube.
 *
 * Tested: tests/published/inertia-drum.test.ts.
 */
export function hollowCylinderInertia_kg_m2(drum: HollowCylinder): number {
  requireTube(drum)
  return (Math.PI / 2) * drum.density_kg_per_m3 * drum.length_m * (drum.outerRadius_m ** 4 - drum.innerRadius_m ** 4)
}

function requireTube(drum: HollowCylinder): void {
  requirePositive(drum.density_kg_per_m3, 'density_kg_per_m3')
  requirePositive(drum.length_m, 'length_m')
  requirePositive(drum.outerRadius_m, 'outerRadius_m')
  if (drum.innerRadius_m >= 0 && drum.innerRadius_m < drum.outerRadius_m) return
  throw new EngineError(
    'ERR_OUT_OF_RANGE',
    `inner radius ${drum.innerRadius_m} m is not inside the tube`,
    'innerRadius_m',
  )
}

/**
 * Mass that would resist being accelerated along the surface as the drum resists being turned.
 *
 * m = I / r2; half its own mass for a solid cylinder.
 *
 * @param inertia_kg_m2 moment of inertia of the drum. [kg m2], above 0
 * @param radius_m radius of its surface. [m], above 0
 * @returns equivalent mass. [kg]
 * @throws EngineError `ERR_OUT_OF_RANGE` when either is not above 0.
 *
 * Tested: tests/published/inertia-drum.test.ts.
 */
export function equivalentMass_kg(inertia_kg_m2: number, radius_m: number): number {
  requirePositive(inertia_kg_m2, 'inertia_kg_m2')
  requirePositive(radius_m, 'radius_m')
  return inertia_kg_m2 / radius_m ** 2
}

/** A turning part that is geared to the roller. */
export interface GearedInertia {
  /** About its own axis. [kg m2], above 0 */
  readonly inertia_kg_m2: number
  /** Its turns per turn of the roller. [1], above 0 */
  readonly turnsPerRollerTurn_1: number
}

/**
 * Moment of inertia of roller and everything that turns with it, as felt at the roller.
 *
 * I = Σ I_k i_k2.
 *
 * @param parts the roller itself (ratio 1) and, where known, wheel and drive line; any order.
 * @returns equivalent moment of inertia at the roller's axis. [kg m2]
 * @throws EngineError `ERR_EMPTY` without a part; `ERR_OUT_OF_RANGE` when a member is not above 0.
 */
export function equivalentInertia_kg_m2(parts: readonly GearedInertia[]): number {
  if (parts.length === 0) throw new EngineError('ERR_EMPTY', 'no turning part', 'parts')
  return parts.reduce((sum, { inertia_kg_m2, turnsPerRollerTurn_1 }) => {
    requirePositive(inertia_kg_m2, 'inertia_kg_m2')
    requirePositive(turnsPerRollerTurn_1, 'turnsPerRollerTurn_1')
    return sum + inertia_kg_m2 * turnsPerRollerTurn_1 ** 2
  }, 0)
}
