/** Most steps of the search; inverse interpolation needs about ten, bisection alone would need sixty. */
const MOST_STEPS = 120

/** Relative width at which the bracket counts as closed: a few units of the last digit of a double. [1] */
const CLOSED = 4e-16

/**
 * The zero of a falling function, by inverse quadratic interpolation inside a bracket, bisected wherever interpolation
 * cannot be trusted. A function that falls in steps is followed to the step that crosses 0.
 *
 * @param f falling on the interval. At an end where it does not change sign, that end is the answer.
 * @param low lower end.
 * @param high upper end.
 * @returns x with f(x) = 0, to the last digits a double holds. Pure; the same input takes the same steps.
 *
 * Source: T. R. Chandrupatla, Adv. Eng. Softw. 28 (1997) 145.
 */
export function fallingRoot(f: (x: number) => number, low: number, high: number): number {
  let [a, b, fa, fb] = [high, low, f(high), f(low)]
  if (!(fb > 0)) return low
  if (!(fa < 0)) return high
  let [c, fc, share] = [a, fa, 0.5]
  for (let step = 0; step < MOST_STEPS; step++) {
    const x = a + share * (b - a)
    const fx = f(x)
    const isSameSign = fx > 0 === fa > 0
    if (isSameSign) [c, fc] = [a, fa]
    else [c, fc, b, fb] = [b, fb, a, fa]
    ;[a, fa] = [x, fx]
    const best = Math.abs(fa) < Math.abs(fb) ? a : b
    const least = (CLOSED * Math.abs(best)) / Math.abs(b - a)
    if (fx === 0 || !(least < 0.5)) return fx === 0 ? x : best
    share = Math.min(1 - least, Math.max(least, interpolatedShare(a, b, c, fa, fb, fc)))
  }
  return (a + b) / 2
}

/** Where between a and b the interpolated zero lies; the middle where the interpolation is not monotonic. */
function interpolatedShare(a: number, b: number, c: number, fa: number, fb: number, fc: number): number {
  const xi = (a - b) / (c - b)
  const phi = (fa - fb) / (fc - fb)
  if (!(phi * phi < xi && (1 - phi) ** 2 < 1 - xi)) return 0.5
  return (fa / (fb - fa)) * (fc / (fb - fc)) + ((c - a) / (b - a)) * (fa / (fc - fa)) * (fb / (fc - fb))
}
