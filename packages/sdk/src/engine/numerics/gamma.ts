import { EngineError } from '../engine-error.ts'

/** Lanczos coefficients for g = 607/128, n = 15. Source: P. Godfrey, A note on the computation of the convergent Lanczos complex gamma approximation (2001). */
const LANCZOS = [
  0.9999999999999971, 57.15623566586292, -59.59796035547549, 14.136097974741746, -0.4919138160976202,
  0.00003399464998481189, 0.00004652362892704858, -0.00009837447530487956, 0.0001580887032249125,
  -0.00021026444172410488, 0.00021743961811521265, -0.0001643181065367639, 0.00008441822398385275,
  -0.000026190838401581408, 0.0000036899182659531625,
] as const
const LANCZOS_G = 607 / 128
const LN_SQRT_2PI = 0.5 * Math.log(2 * Math.PI)

/** Argument from which the Stirling series is exact to double precision. */
const STIRLING_FROM = 10

/**
 * Natural logarithm of the gamma function.
 *
 * @param x argument. [1], above 0
 * @returns ln Γ(x), good to about 1e-14 absolute near 1 and relative elsewhere.
 * @throws EngineError `ERR_OUT_OF_RANGE` when x is not above 0.
 *
 * Source: Lanczos approximation below 10, Stirling series above. Tested: tests/golden/distributions.
 */
export function logGamma(x: number): number {
  if (!(x > 0)) throw new EngineError('ERR_OUT_OF_RANGE', `ln Γ needs an argument above 0, not ${x}`, 'x')
  if (x >= STIRLING_FROM) return (x - 0.5) * Math.log(x) - x + LN_SQRT_2PI + stirlingCorrection(x)
  const base = x + LANCZOS_G - 0.5
  const series = LANCZOS.reduce((sum, coefficient, k) => (k === 0 ? coefficient : sum + coefficient / (x - 1 + k)), 0)
  return (x - 0.5) * Math.log(base) - base + LN_SQRT_2PI + Math.log(series)
}

/** Remainder of Stirling's formula, ln Γ(x) − [(x − ½) ln x − x + ½ ln 2π], for x at or above 10. */
export function stirlingCorrection(x: number): number {
  const q = 1 / (x * x)
  const series =
    1 / 12 - q * (1 / 360 - q * (1 / 1260 - q * (1 / 1680 - q * (1 / 1188 - q * (691 / 360360 - q / 156)))))
  return series / x
}

/**
 * Natural logarithm of the beta function, without cancellation where an argument is large.
 *
 * ln B(a, b) = ln Γ(a) + ln Γ(b) − ln Γ(a + b), rearranged with Stirling's remainder.
 *
 * @param a [1], above 0
 * @param b [1], above 0
 * @returns ln B(a, b). [1]
 */
export function logBeta(a: number, b: number): number {
  const p = Math.min(a, b)
  const q = Math.max(a, b)
  const share = p / (p + q)
  if (q < STIRLING_FROM) return logGamma(p) + logGamma(q) - logGamma(p + q)

  const tail = stirlingCorrection(q) - stirlingCorrection(p + q)
  if (p < STIRLING_FROM) return logGamma(p) + tail + p - p * Math.log(p + q) + (q - 0.5) * Math.log1p(-share)
  return (
    -0.5 * Math.log(q) +
    LN_SQRT_2PI +
    stirlingCorrection(p) +
    tail +
    (p - 0.5) * Math.log(share) +
    q * Math.log1p(-share)
  )
}

/**
 * Digamma function ψ(x) = d ln Γ / dx.
 *
 * @param x [1], above 0
 * @returns ψ(x), by recurrence to 10 and the asymptotic series. Source: Abramowitz and Stegun 6.3.5, 6.3.18.
 */
export function digamma(x: number): number {
  let [shift, z] = [0, x]
  for (; z < STIRLING_FROM; z += 1) shift -= 1 / z
  const q = 1 / (z * z)
  const series =
    q * (1 / 12 - q * (1 / 120 - q * (1 / 252 - q * (1 / 240 - q * (1 / 132 - q * (691 / 32760 - q / 12))))))
  return shift + Math.log(z) - 0.5 / z - series
}

/**
 * Trigamma function ψ'(x).
 *
 * @param x [1], above 0
 * @returns ψ'(x), by recurrence to 10 and the asymptotic series. Source: Abramowitz and Stegun 6.4.6, 6.4.12.
 */
export function trigamma(x: number): number {
  let [shift, z] = [0, x]
  for (; z < STIRLING_FROM; z += 1) shift += 1 / (z * z)
  const q = 1 / (z * z)
  const series = 1 / 6 - q * (1 / 30 - q * (1 / 42 - q * (1 / 30 - q * (5 / 66 - q * (691 / 2730 - (7 * q) / 6)))))
  return shift + 1 / z + 0.5 * q + (q / z) * series
}
