/**
 * The closed list of units of every quantity kind, as written on the wire.
 *
 * There is no default unit: a quantity without one, or with one that is not in the list of its kind, is refused.
 * Conversion factors are exact (NIST SP 811) and live in the engine; this list says only which words are accepted.
 */
export const units = {
  /** W: watt. kW: kilowatt. hp: mechanical horsepower, 550 ft lbf/s. PS: metric horsepower, 75 kgf m/s. */
  power: ['W', 'kW', 'hp', 'PS'],
  /** N m: newton metre. lbf ft: pound-force foot. kgf m: kilogram-force metre. */
  torque: ['N m', 'lbf ft', 'kgf m'],
  /** Pa, hPa, kPa: pascal. mbar, bar. psi: lbf/in2. inHg, mmHg: conventional inch and millimetre of mercury. */
  pressure: ['Pa', 'hPa', 'kPa', 'mbar', 'bar', 'psi', 'inHg', 'mmHg'],
  /** K: kelvin. degC: degree Celsius. degF: degree Fahrenheit. A temperature, never a temperature difference. */
  temperature: ['K', 'degC', 'degF'],
  /** rpm: revolutions per minute. rad/s: radian per second. */
  rotationalSpeed: ['rpm', 'rad/s'],
  /** m/s: metre per second. km/h: kilometre per hour. mph: statute mile per hour. */
  speed: ['m/s', 'km/h', 'mph'],
  /** rpm/s: revolutions per minute, per second. rad/s2: radian per second squared. */
  rotationalAcceleration: ['rpm/s', 'rad/s2'],
  /** s: second. ms: millisecond. min: minute. h: hour. */
  time: ['s', 'ms', 'min', 'h'],
  /** m, mm, cm, km: metre. in, ft, mi: international inch, foot, statute mile. */
  length: ['m', 'mm', 'cm', 'in', 'ft', 'km', 'mi'],
  /** kg, g: kilogram, gram. lb: avoirdupois pound. */
  mass: ['kg', 'g', 'lb'],
  /** N, daN, kN: newton. lbf: pound-force. kgf: kilogram-force. */
  force: ['N', 'daN', 'kN', 'lbf', 'kgf'],
  /** kg m2: moment of inertia. lb ft2: avoirdupois pound, foot squared. */
  inertia: ['kg m2', 'lb ft2'],
  /** deg: degree of arc. rad: radian. */
  angle: ['deg', 'rad'],
  /** 1: a plain fraction. %: one hundredth. */
  ratio: ['1', '%'],
} as const satisfies Readonly<Record<string, readonly [string, ...string[]]>>

/** A kind of quantity, such as `power` or `pressure`. Units convert within a kind, never across kinds. */
export type QuantityKind = keyof typeof units

/** A unit of one quantity kind; of any kind when `K` is not given. */
export type UnitOf<K extends QuantityKind = QuantityKind> = (typeof units)[K][number]

/** A value and its unit, as it stands on the wire. Signed as part of the comparison's digest. */
export type Quantity<K extends QuantityKind = QuantityKind> = {
  /** The number, finite, in `unit`. */
  readonly value: number
  /** One of the units of the kind; see `units`. */
  readonly unit: UnitOf<K>
}
