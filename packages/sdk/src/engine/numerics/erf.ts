/** Coefficients below |x| = 0.46875: erf(x) = x N(x²)/D(x²). */
const CORE_N = [0.18577770618460315, 3.1611237438705655, 113.86415415105016, 377.485237685302, 3209.3775891384694]
const CORE_D = [1, 23.601290952344122, 244.02463793444417, 1282.6165260773723, 2844.236833439171]

/** Coefficients from 0.46875 to 4: erfc(x) = e^(−x²) N(x)/D(x). */
const MIDDLE_N = [
  2.1531153547440383e-8, 0.5641884969886701, 8.883149794388377, 66.11919063714163, 298.6351381974001, 881.952221241769,
  1712.0476126340707, 2051.0783778260716, 1230.3393547979972,
]
const MIDDLE_D = [
  1, 15.744926110709835, 117.6939508913125, 537.1811018620099, 1621.3895745666903, 3290.7992357334597,
  4362.619090143247, 3439.3676741437216, 1230.3393548037495,
]

/** Coefficients above 4: erfc(x) = e^(−x²)/x · (1/√π − N(1/x²)/(x² D(1/x²))). */
const FAR_N = [
  0.016315387137302097, 0.30532663496123236, 0.36034489994980445, 0.12578172611122926, 0.016083785148742275,
  0.0006587491615298378,
]
const FAR_D = [1, 2.568520192289822, 1.8729528499234673, 0.5279051029514285, 0.06051834131244132, 0.0023352049762686918]

const CORE_TO = 0.46875
const MIDDLE_TO = 4
const INVERSE_SQRT_PI = 1 / Math.sqrt(Math.PI)

/** Value of a polynomial whose coefficients stand from the highest power down. */
function polynomial(coefficients: readonly number[], x: number): number {
  let sum = 0
  for (const coefficient of coefficients) sum = sum * x + coefficient
  return sum
}

/** e^(−x²) with x² split in two, so that squaring a large x loses no digit of the exponential. */
function negativeSquareExponential(x: number): number {
  const head = Math.trunc(x * 16) / 16
  return Math.exp(-head * head) * Math.exp(-(x - head) * (x + head))
}

/** erfc for x at or above 0.46875. */
function upperErfc(x: number): number {
  if (x > 27) return 0
  if (x <= MIDDLE_TO) return (negativeSquareExponential(x) * polynomial(MIDDLE_N, x)) / polynomial(MIDDLE_D, x)
  const inverse = 1 / (x * x)
  const correction = (inverse * polynomial(FAR_N, inverse)) / polynomial(FAR_D, inverse)
  return (negativeSquareExponential(x) * (INVERSE_SQRT_PI - correction)) / x
}

/**
 * Error function.
 *
 * @param x [1]
 * @returns erf(x). [1], −1 to 1; odd. Pure; never throws.
 *
 * Source: W. J. Cody, Math. Comp. 23 (1969) 631, rational Chebyshev approximations. Tested: tests/golden/distributions.
 */
export function erf(x: number): number {
  const size = Math.abs(x)
  if (size <= CORE_TO) return (x * polynomial(CORE_N, x * x)) / polynomial(CORE_D, x * x)
  return x < 0 ? upperErfc(size) - 1 : 1 - upperErfc(size)
}

/**
 * Complementary error function, 1 − erf(x), which keeps its digits where it is small.
 *
 * @param x [1]
 * @returns erfc(x). [1], 0 to 2. Pure; never throws. Source: as {@link erf}.
 */
export function erfc(x: number): number {
  if (Math.abs(x) <= CORE_TO) return 1 - erf(x)
  return x < 0 ? 2 - upperErfc(-x) : upperErfc(x)
}
