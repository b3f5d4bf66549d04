/** The middle of several measurements; the mean of the two middle ones where their number is even. */
export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b)
  const upper = sorted[Math.floor(sorted.length / 2)] ?? Number.NaN
  const lower = sorted[Math.ceil(sorted.length / 2) - 1] ?? Number.NaN
  return (lower + upper) / 2
}

/** Exponent b of y = a·x^b through points by least squares of the logarithms. Both coordinates above 0. */
export function growthExponent(points: readonly (readonly [x: number, y: number])[]): number {
  const logs = points.map(([x, y]) => [Math.log(x), Math.log(y)] as const)
  const mean = (at: 0 | 1) => logs.reduce((sum, each) => sum + each[at], 0) / logs.length
  const [x, y] = [mean(0), mean(1)]
  const above = logs.reduce((sum, each) => sum + (each[0] - x) * (each[1] - y), 0)
  return above / logs.reduce((sum, each) => sum + (each[0] - x) ** 2, 0)
}
