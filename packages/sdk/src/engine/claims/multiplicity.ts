/**
 * Holm's step-down correction.
 *
 * adjusted_(k) = max over i ≤ k of min(1, (m − i + 1) p_(i)); ties in the order given.
 *
 * @param ps one p per claim. [1], 0 to 1
 * @returns adjusted p in the order given. Pure; never throws.
 *
 * Source: S. Holm, Scand. J. Statist. 6 (1979) 65. Tested: tests/vectors, corrections.
 */
export function holm(ps: readonly number[]): readonly number[] {
  const order = ps.map((_, i) => i).toSorted((a, b) => (ps[a] ?? 1) - (ps[b] ?? 1) || a - b)
  const adjusted = new Array<number>(ps.length).fill(1)
  let previous = 0
  order.forEach((index, rank) => {
    previous = Math.max(previous, Math.min(1, (ps.length - rank) * (ps[index] ?? 1)))
    adjusted[index] = previous
  })
  return adjusted
}

/** Share of the level that the primary claim of a plan starts with. [1] */
const PRIMARY_WEIGHT = 0.8

/**
 * Weighted correction of a registered plan with one primary claim.
 *
 * The claim with the smallest p / weight is closed next, adjusted = max(previous, min(1, p / weight)), and hands its weight
 * in equal parts to the open ones.
 *
 * @param ps one p per registered claim. [1]
 * @param primary index of the primary claim.
 * @returns adjusted p in the order given. Pure; never throws.
 *
 * Source: F. Bretz et al., Statist. Med. 28 (2009) 586 (from memory); measurement-model §7. Tested: tests/vectors, corrections.
 */
export function weightedGraph(ps: readonly number[], primary: number): readonly number[] {
  const others = ps.length - 1
  const weights = ps.map((_, i) => (others === 0 ? 1 : i === primary ? PRIMARY_WEIGHT : (1 - PRIMARY_WEIGHT) / others))
  const adjusted = new Array<number>(ps.length).fill(1)
  const open = ps.map((_, i) => i)
  const ratio = (index: number) => (ps[index] ?? 1) / (weights[index] ?? 0)
  let previous = 0
  while (open.length > 0) {
    const next = open.reduce((best, index) => (ratio(index) < ratio(best) ? index : best))
    previous = Math.max(previous, Math.min(1, ratio(next)))
    adjusted[next] = previous
    open.splice(open.indexOf(next), 1)
    for (const index of open) weights[index] = (weights[index] ?? 0) + (weights[next] ?? 0) / open.length
  }
  return adjusted
}
