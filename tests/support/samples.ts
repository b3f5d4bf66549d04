import { centredWithinCells, dot, groupMeans, layoutOf } from '../../packages/sdk/src/engine/statistics/cells.ts'
import type { VarianceComponent } from '../../packages/sdk/src/engine/statistics/interval.ts'

/** Mean and variance of one sample. */
export interface Sample {
  readonly count: number
  readonly mean: number
  /** About the mean, divided by count - 1. */
  readonly variance: number
}

/** Sums of squares of a one-way layout. */
export interface OneWay {
  readonly groups: number
  readonly count: number
  /** Mean of each group, in order of first appearance. */
  readonly means: readonly number[]
  readonly betweenSquares: number
  readonly withinSquares: number
}

/** The analysis of variance of one factor by the engine's own cell arithmetic: each label is a mounting of one side. */
export function oneWayOf(values: readonly number[], labels: readonly string[]): OneWay {
  const y = Float64Array.from(values)
  const layout = layoutOf(
    values.map(() => 0),
    labels,
  )
  const centred = centredWithinCells(y, layout)
  const means = groupMeans(y, layout.cellOf, layout.cells)
  const grand = groupMeans(y, new Int32Array(y.length), 1)[0] ?? Number.NaN
  const away = y.map((_, i) => (means[layout.cellOf[i] ?? 0] ?? Number.NaN) - grand)
  return {
    groups: layout.cells,
    count: y.length,
    means: [...means],
    betweenSquares: dot(away, away),
    withinSquares: dot(centred, centred),
  }
}

/** Mean and variance of one sample by the engine's own cell arithmetic. */
export function sampleOf(values: readonly number[]): Sample {
  const { means, withinSquares } = oneWayOf(
    values,
    values.map(() => 'one'),
  )
  return { count: values.length, mean: means[0] ?? Number.NaN, variance: withinSquares / (values.length - 1) }
}

/** The variance of a sample's mean, as a component of a budget. */
export const ofMean = ({ variance, count }: Sample): VarianceComponent => ({
  variance: variance / count,
  dof: count - 1,
})

/** The variance of the difference of two means when both samples share one variance. */
export function pooled(a: Sample, b: Sample): VarianceComponent {
  const dof = a.count + b.count - 2
  const variance = ((a.count - 1) * a.variance + (b.count - 1) * b.variance) / dof
  return { variance: variance * (1 / a.count + 1 / b.count), dof }
}
