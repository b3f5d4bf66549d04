/** A lowest point. */
export interface LowestPoint {
  readonly x: number
  readonly value: number
}

/** Points at which the interval is looked over before the search. */
const SCAN_POINTS = 33

/** Steps of the search; each leaves 0.618 of the bracket, all together 1e-12 of it. */
const STEPS = 56

/** Inverse golden ratio. */
const SHARE = (Math.sqrt(5) - 1) / 2

/**
 * The lowest point of a function on an interval: looked over at 33 points, then golden-section search between the
 * neighbours of the lowest; an end of the interval that lies lowest is the answer itself.
 *
 * @param f continuous; its dips are wider than a thirty-second of the interval.
 * @param low lower end.
 * @param high upper end.
 * @returns the point. Pure; the same input takes the same steps.
 *
 * Source: J. Kiefer, Proc. Amer. Math. Soc. 4 (1953) 502 (from memory).
 */
export function lowestPoint(f: (x: number) => number, low: number, high: number): LowestPoint {
  const scanned = Array.from({ length: SCAN_POINTS }, (_, i) => {
    const x = low + ((high - low) * i) / (SCAN_POINTS - 1)
    return { x, value: f(x) }
  })
  const at = scanned.reduce((best, { value }, i) => (value < (scanned[best]?.value ?? value) ? i : best), 0)
  const lowest = scanned[at] ?? { x: low, value: f(low) }
  const found = searched(f, scanned[at - 1]?.x ?? low, scanned[at + 1]?.x ?? high)
  return found.value < lowest.value ? found : lowest
}

function searched(f: (x: number) => number, low: number, high: number): LowestPoint {
  let [a, b] = [low, high]
  let [c, d] = [b - SHARE * (b - a), a + SHARE * (b - a)]
  let [fc, fd] = [f(c), f(d)]
  for (let step = 0; step < STEPS; step++) {
    if (fc < fd) {
      ;[b, d, fd] = [d, c, fc]
      c = b - SHARE * (b - a)
      fc = f(c)
    } else {
      ;[a, c, fc] = [c, d, fd]
      d = a + SHARE * (b - a)
      fd = f(d)
    }
  }
  return fc < fd ? { x: c, value: fc } : { x: d, value: fd }
}
