import { convert } from './units.ts'

/** A unit taken for another, and the ratio power / (torque × angular speed) that this leaves. */
interface UnitConfusion {
  /** In words, to follow "this is what … makes". */
  readonly words: string
  /** [1] */
  readonly ratio_1: number
}

/** One unit written where another was meant, either way round. */
function bothWays(one: string, other: string, ratio_1: number, column: string): readonly UnitConfusion[] {
  return [
    { words: `${column} in ${one} taken for ${other}`, ratio_1 },
    { words: `${column} in ${other} taken for ${one}`, ratio_1: 1 / ratio_1 },
  ]
}

const KW_PER_HP = convert(1, 'hp', 'kW')
const KW_PER_PS = convert(1, 'PS', 'kW')
const NM_PER_LBF_FT = convert(1, 'lbf ft', 'N m')
const RPM_PER_RAD_PER_S = convert(1, 'rad/s', 'rpm')

/**
 * Confusions of one column. A figure in horsepower taken for kilowatt is too large by 1 / 0.7457, and so on; engine speed
 * and torque stand below the line, so that a figure too large there makes the ratio too small.
 */
const SINGLE: readonly UnitConfusion[] = [
  ...bothWays('hp', 'kW', 1 / KW_PER_HP, 'power'),
  ...bothWays('PS', 'kW', 1 / KW_PER_PS, 'power'),
  ...bothWays('PS', 'hp', KW_PER_HP / KW_PER_PS, 'power'),
  ...bothWays('kW', 'W', 1 / 1000, 'power'),
  ...bothWays('N m', 'lbf ft', 1 / NM_PER_LBF_FT, 'torque'),
  ...bothWays('rpm', 'rad/s', 1 / RPM_PER_RAD_PER_S, 'engine speed'),
]

/** Power and torque both in the other system. */
const DOUBLE: readonly UnitConfusion[] = SINGLE.flatMap((first, i) =>
  SINGLE.slice(i + 1).flatMap((second) =>
    second.words.split(' ')[0] === first.words.split(' ')[0]
      ? []
      : [{ words: `${first.words} together with ${second.words}`, ratio_1: first.ratio_1 * second.ratio_1 }],
  ),
)

/** A ratio this near to that of a confusion is taken for it. [1] Common practice, no source. */
const NEAR_1 = 0.005

/**
 * The mistaken unit that explains how far power is from torque times angular speed.
 *
 * @param ratio_1 power / (torque × angular speed), all as declared. [1]
 * @returns the confusion in words, one column before two, the nearest first; null where none explains it, or the figures
 *   agree. Pure; never throws.
 *
 * Source: ratios of the units, NIST SP 811 appendix B.8. Tested: tests/engine/physics/unit-confusion.test.ts.
 */
export function confusedUnits(ratio_1: number): string | null {
  if (Math.abs(ratio_1 - 1) <= NEAR_1) return null
  return nearest(SINGLE, ratio_1) ?? nearest(DOUBLE, ratio_1)
}

function nearest(confusions: readonly UnitConfusion[], ratio_1: number): string | null {
  const distance = (confusion: UnitConfusion) => Math.abs(Math.log(ratio_1 / confusion.ratio_1))
  const best = confusions.toSorted((a, b) => distance(a) - distance(b))[0]
  return best !== undefined && distance(best) <= NEAR_1 ? best.words : null
}

const SPEED_CONFUSIONS: readonly UnitConfusion[] = [
  { words: 'roller speed in km/h taken for mph', ratio_1: convert(1, 'km/h', 'mph') },
  { words: 'roller speed in mph taken for km/h', ratio_1: convert(1, 'mph', 'km/h') },
  { words: 'roller speed in km/h taken for m/s', ratio_1: convert(1, 'km/h', 'm/s') },
  { words: 'roller speed in m/s taken for km/h', ratio_1: convert(1, 'm/s', 'km/h') },
]

/** Slip and load leave a speed ratio this far from geometry at most. [1] From memory. */
const GEOMETRY_1 = 0.08

/**
 * The mistaken unit that explains how far a speed ratio is from the geometry of the drive.
 *
 * @param ratio_1 recorded engine speed over roller speed, over that of the geometry. [1]
 * @returns the confusion in words; null where slip and load explain it, or nothing does. Pure; never throws.
 */
export function confusedSpeedUnit(ratio_1: number): string | null {
  if (Math.abs(Math.log(ratio_1)) <= GEOMETRY_1) return null
  return SPEED_CONFUSIONS.find((each) => Math.abs(Math.log(ratio_1 / each.ratio_1)) <= GEOMETRY_1)?.words ?? null
}
