import { type Quantity, type QuantityKind, type UnitOf, units } from '../../contract/units.ts'
import { EngineError } from '../engine-error.ts'

/** How a unit relates to the SI unit of its kind: SI = (value + offset) · times / over. */
interface UnitScale {
  /** Numerator of the exact factor. */
  readonly times: number
  /** Denominator of the exact factor; kept apart so that 1/3.6 and the like are rounded once. */
  readonly over: number
  /** Added before scaling; other than 0 for temperatures only. */
  readonly offset: number
}

/** Standard acceleration of free fall, by definition. [m/s2] NIST SP 811, appendix B.8. */
export const standardGravity_m_per_s2 = 9.80665

/** International foot and inch, avoirdupois pound, by definition. [m], [m], [kg] NIST SP 811, appendix B.6. */
const foot_m = 0.3048
const inch_m = 0.0254
const pound_kg = 0.45359237

/** Pound-force: the weight of a pound at standard gravity. [N], exact. */
const poundForce_N = 4.4482216152605

/** Density of mercury that defines the conventional column (ISO 31, NIST SP 811 B.8 footnote). [kg/m3] */
const mercury_kg_per_m3 = 13595.1

const scale = (times: number, over = 1, offset = 0): UnitScale => ({ times, over, offset })

/** The unit to which every kind is brought inside the engine. */
export const siUnits = {
  power: 'W',
  torque: 'N m',
  pressure: 'Pa',
  temperature: 'K',
  rotationalSpeed: 'rad/s',
  speed: 'm/s',
  rotationalAcceleration: 'rad/s2',
  time: 's',
  length: 'm',
  mass: 'kg',
  force: 'N',
  inertia: 'kg m2',
  angle: 'rad',
  ratio: '1',
} as const satisfies { readonly [K in QuantityKind]: UnitOf<K> }

/**
 * Exact conversion factors of every unit of the contract.
 *
 * Source: NIST SP 811 (2008), appendix B.8, by the definitions behind its rounded figures.
 * Horsepower is 550 ft lbf/s, PS is 75 kgf m/s, the mercury columns are the conventional ones (not 32 or 60 degF).
 */
const scales: { readonly [K in QuantityKind]: { readonly [U in UnitOf<K>]: UnitScale } } = {
  power: {
    W: scale(1),
    kW: scale(1000),
    hp: scale(550 * foot_m * poundForce_N),
    PS: scale(75 * standardGravity_m_per_s2),
  },
  torque: { 'N m': scale(1), 'lbf ft': scale(poundForce_N * foot_m), 'kgf m': scale(standardGravity_m_per_s2) },
  pressure: {
    Pa: scale(1),
    hPa: scale(100),
    kPa: scale(1000),
    mbar: scale(100),
    bar: scale(100_000),
    psi: scale(poundForce_N, inch_m * inch_m),
    inHg: scale(mercury_kg_per_m3 * standardGravity_m_per_s2 * inch_m),
    mmHg: scale(mercury_kg_per_m3 * standardGravity_m_per_s2, 1000),
  },
  temperature: { K: scale(1), degC: scale(1, 1, 273.15), degF: scale(1, 1.8, 459.67) },
  rotationalSpeed: { 'rad/s': scale(1), rpm: scale(Math.PI, 30) },
  speed: { 'm/s': scale(1), 'km/h': scale(1, 3.6), mph: scale(0.44704) },
  rotationalAcceleration: { 'rad/s2': scale(1), 'rpm/s': scale(Math.PI, 30) },
  time: { s: scale(1), ms: scale(1, 1000), min: scale(60), h: scale(3600) },
  length: {
    m: scale(1),
    mm: scale(1, 1000),
    cm: scale(1, 100),
    in: scale(inch_m),
    ft: scale(foot_m),
    km: scale(1000),
    mi: scale(1609.344),
  },
  mass: { kg: scale(1), g: scale(1, 1000), lb: scale(pound_kg) },
  force: {
    N: scale(1),
    daN: scale(10),
    kN: scale(1000),
    lbf: scale(poundForce_N),
    kgf: scale(standardGravity_m_per_s2),
  },
  inertia: { 'kg m2': scale(1), 'lb ft2': scale(pound_kg * foot_m * foot_m) },
  angle: { rad: scale(1), deg: scale(Math.PI, 180) },
  ratio: { '1': scale(1), '%': scale(1, 100) },
}

interface KnownUnit {
  readonly kind: QuantityKind
  readonly scale: UnitScale
}

/** Every unit by its word. No word serves two kinds, which `tests/engine/physics/units.test.ts` holds. */
const knownUnits: ReadonlyMap<string, KnownUnit> = new Map(
  (Object.keys(units) as QuantityKind[]).flatMap((kind) =>
    Object.entries<UnitScale>(scales[kind]).map(([unit, scale]) => [unit, { kind, scale }] as const),
  ),
)

/** The quantity kind to which a unit belongs. */
export type KindOf<U extends UnitOf> = { [K in QuantityKind]: U extends UnitOf<K> ? K : never }[QuantityKind]

function knownUnit(unit: string, path: string): KnownUnit {
  const known = knownUnits.get(unit)
  if (known === undefined)
    throw new EngineError('ERR_UNKNOWN_UNIT', `${JSON.stringify(unit)} is not a known unit`, path)
  return known
}

function unitOfKind(kind: QuantityKind, unit: string, path: string): UnitScale {
  const known = knownUnit(unit, path)
  if (known.kind === kind) return known.scale
  throw new EngineError('ERR_UNIT_KIND', `${unit} is a unit of ${known.kind}, not of ${kind}`, path)
}

/**
 * The kind of quantity that a unit measures.
 *
 * @param unit any unit of the contract's list.
 * @returns the kind, for example `pressure` for `kPa`.
 * @throws EngineError `ERR_UNKNOWN_UNIT` when the unit is in no list.
 */
export function kindOf<U extends UnitOf>(unit: U): KindOf<U> {
  return knownUnit(unit, 'unit').kind as KindOf<U>
}

/**
 * A value expressed in another unit of the same kind.
 *
 * SI = (value + offset) · factor, and back. Temperatures are affine and are points on the scale, not differences.
 *
 * @param value the number in `from`. [from], finite
 * @param from the unit it is in.
 * @param to the unit wanted, of the same kind.
 * @returns the number in `to`; unchanged, bit for bit, when both units are the same.
 * @throws EngineError `ERR_UNKNOWN_UNIT` when a unit is in no list; `ERR_UNIT_KIND` when the kinds differ;
 *   `ERR_OUT_OF_RANGE` when the value is not finite.
 *
 * Uncertainty: none; the factors are exact and rounding stays below three units in the last place.
 * Source: NIST SP 811 (2008), appendix B. Tested: tests/published/nist-sp-811.test.ts.
 */
export function convert<U extends UnitOf>(value: number, from: U, to: UnitOf<KindOf<U>>): number {
  const source = knownUnit(from, 'from')
  const target = unitOfKind(source.kind, to, 'to')
  if (!Number.isFinite(value)) throw new EngineError('ERR_OUT_OF_RANGE', `${value} is not a finite number`, 'value')
  if (source.scale === target) return value

  const si = ((value + source.scale.offset) * source.scale.times) / source.scale.over
  return (si * target.over) / target.times - target.offset
}

/**
 * A quantity in the SI unit of its kind (`siUnits`).
 *
 * @param kind the kind that is expected here.
 * @param quantity value and unit as they stand on the wire.
 * @param path where it stands in the document, for the error.
 * @returns the value in the SI unit. [siUnits[kind]]
 * @throws EngineError `ERR_UNKNOWN_UNIT`, `ERR_UNIT_KIND` when the unit is not one of `kind`; `ERR_OUT_OF_RANGE` when
 *   the value is not finite.
 */
export function toSI<K extends QuantityKind>(kind: K, quantity: Quantity<K>, path: string = kind): number {
  const { times, over, offset } = unitOfKind(kind, quantity.unit, path)
  if (!Number.isFinite(quantity.value)) {
    throw new EngineError('ERR_OUT_OF_RANGE', `${quantity.value} is not a finite number`, path)
  }
  return ((quantity.value + offset) * times) / over
}

/**
 * A whole channel in the SI unit of its kind, in one pass.
 *
 * @param kind the kind that is expected here.
 * @param values one number per sample, sample order; not changed. [unit]
 * @param unit the unit of all of them.
 * @param path where the channel stands in the document, for the error.
 * @returns a new array of the same length. [siUnits[kind]]
 * @throws EngineError `ERR_UNKNOWN_UNIT`, `ERR_UNIT_KIND` when the unit is not one of `kind`. Values are not checked:
 *   NaN stays NaN.
 */
export function channelToSI<K extends QuantityKind>(
  kind: K,
  values: ArrayLike<number>,
  unit: UnitOf<K>,
  path: string = kind,
): Float64Array {
  const { times, over, offset } = unitOfKind(kind, unit, path)
  const converted = new Float64Array(values.length)
  for (let i = 0; i < converted.length; i++) converted[i] = (((values[i] ?? Number.NaN) + offset) * times) / over
  return converted
}

/**
 * A value of the engine, brought back to a unit of the contract.
 *
 * @param kind the kind of quantity.
 * @param value the number in the SI unit of the kind. [siUnits[kind]]
 * @param unit the unit wanted.
 * @returns value and unit, as written on the wire.
 * @throws EngineError `ERR_UNKNOWN_UNIT`, `ERR_UNIT_KIND` when the unit is not one of `kind`.
 */
export function fromSI<K extends QuantityKind>(kind: K, value: number, unit: UnitOf<K>): Quantity<K> {
  const { times, over, offset } = unitOfKind(kind, unit, kind)
  return { value: (value * over) / times - offset, unit }
}
