/** −2 ln of the restricted likelihood of nested runs from their full covariance matrix, but for a constant. */
import type { NestedRuns } from '../../packages/sdk/src/engine/statistics/nested-layout.ts'
import type { NestedVariances } from '../../packages/sdk/src/engine/statistics/nested-reml.ts'

/** ln|V| + ln(1'V⁻¹1) + (y − μ)'V⁻¹(y − μ), by Cholesky's decomposition; knows nothing of the nesting. */
export function restrictedDeviance({ values, mountings, days }: NestedRuns, sizes: NestedVariances): number {
  const n = values.length
  const V = Array.from({ length: n }, (_, i) =>
    Array.from(
      { length: n },
      (_, j) =>
        (i === j ? sizes.repeatability : 0) +
        (mountings[i] === mountings[j] ? sizes.mounting : 0) +
        (days?.[i] === days?.[j] ? sizes.day : 0),
    ),
  )
  const L = cholesky(V)
  const ones = forward(L, new Array<number>(n).fill(1))
  const y = forward(L, [...values])
  const information = product(ones, ones)
  const mean = product(ones, y) / information
  const rest = y.map((value, i) => value - mean * (ones[i] ?? 0))
  const logDeterminant = 2 * L.reduce((sum, row, i) => sum + Math.log(row[i] ?? 0), 0)
  return logDeterminant + Math.log(information) + product(rest, rest)
}

function product(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * (b[i] ?? 0), 0)
}

function cholesky(V: readonly (readonly number[])[]): number[][] {
  const L: number[][] = V.map((row) => row.map(() => 0))
  V.forEach((row, i) => {
    for (let j = 0; j <= i; j++) {
      const sum = product((L[i] ?? []).slice(0, j), (L[j] ?? []).slice(0, j))
      const rest = (row[j] ?? 0) - sum
      const own = L[i]
      if (own !== undefined) own[j] = i === j ? Math.sqrt(rest) : rest / (L[j]?.[j] ?? 1)
    }
  })
  return L
}

function forward(L: readonly (readonly number[])[], b: readonly number[]): number[] {
  const x: number[] = []
  L.forEach((row, i) => {
    x.push(((b[i] ?? 0) - product(x, row.slice(0, i))) / (row[i] ?? 1))
  })
  return x
}
