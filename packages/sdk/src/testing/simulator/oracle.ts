import { gaussianSmoothed, meanOver } from './band-mean.ts'
import type { Noise } from './noise.ts'
import type { TrueRun, Truth } from './truth.ts'

/** What somebody knows who knows every variance: the best linear estimate of the gain and how far it scatters. */
export interface OracleGain {
  /** ln of modified over baseline band mean. */
  readonly estimate: number
  /** Its standard deviation over sessions of this kind. */
  readonly standardDeviation: number
}

/**
 * The gain of a band mean by generalised least squares with the true covariance of this session's runs.
 *
 * Covariance of two runs: run-to-run and local noise where they are one; re-mounting and tilt where they share a mounting; day
 * where they share a day; drift and residual of the correction by their covariates. Nothing is estimated.
 *
 * @param band claimed band. [rpm]
 */
export function oracleGain(truth: Truth, band: { readonly from_rpm: number; readonly to_rpm: number }): OracleGain {
  const levels = truth.runs.map((run) => Math.log(meanOver(gaussianSmoothed(run), band)))
  const covarianceOf = covarianceIn(truth, band)
  const covariance = truth.runs.map((a) => truth.runs.map((b) => covarianceOf(a, b)))
  const ones = truth.runs.map(() => 1)
  const isModified = truth.runs.map(({ state }) => (state.slot.side === 'modified' ? 1 : 0))
  const [u, v, w] = solved(covariance, [ones, isModified, levels])
  const [p, q, r] = [dot(ones, u), dot(ones, v), dot(isModified, v)]
  const determinant = p * r - q * q
  const estimate = (p * dot(isModified, w) - q * dot(ones, w)) / determinant
  return { estimate, standardDeviation: Math.sqrt(p / determinant) }
}

/** Covariance of two runs of a session. */
function covarianceIn(
  { noise, recipe }: Truth,
  band: { readonly from_rpm: number; readonly to_rpm: number },
): (a: TrueRun, b: TrueRun) => number {
  const { sizes } = noise
  const { from_rpm, to_rpm } = recipe.machine
  const width = (band.to_rpm - band.from_rpm) / sizes.correlationLength_rpm
  const middle = (band.from_rpm + band.to_rpm - from_rpm - to_rpm) / (to_rpm - from_rpm)
  const own = sizes.repeatability_1 ** 2 + sizes.local_1 ** 2 * meanCorrelation(width)
  const mounting = sizes.remounting_1 ** 2 + (sizes.tilt_1 * middle) ** 2
  return (a, b) =>
    (a === b ? own * sideRatio_1(a, sizes) ** 2 : 0) +
    (a.state.slot.mounting === b.state.slot.mounting ? mounting : 0) +
    (a.state.slot.day === b.state.slot.day ? sizes.day_1 ** 2 : 0) +
    sizes.driftPerRun_1 ** 2 * a.state.t * b.state.t +
    sizes.ambientResidual_1 ** 2 * Math.log(a.factor_1) * Math.log(b.factor_1)
}

function sideRatio_1({ state }: TrueRun, sizes: Noise): number {
  return state.slot.side === 'modified' ? sizes.modifiedOverBaseline_1 : 1
}

/** Mean correlation exp(-d^2/2) of two points of a band, its width in correlation lengths: by the midpoint rule. */
function meanCorrelation(width: number): number {
  const steps = 400
  let sum = 0
  for (let k = 0; k < steps; k += 1) {
    const share = (k + 0.5) / steps
    sum += 2 * (1 - share) * Math.exp(-((share * width) ** 2) / 2)
  }
  return sum / steps
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, k) => sum + value * (b[k] ?? 0), 0)
}

/** Solutions of one symmetric positive definite system for three right-hand sides, by Cholesky's factorisation. */
function solved(
  matrix: readonly (readonly number[])[],
  sides: readonly [readonly number[], readonly number[], readonly number[]],
): readonly [number[], number[], number[]] {
  const lower = cholesky(matrix)
  const solve = (side: readonly number[]) => backward(lower, forward(lower, side))
  return [solve(sides[0]), solve(sides[1]), solve(sides[2])]
}

function cholesky(matrix: readonly (readonly number[])[]): number[][] {
  const lower: number[][] = []
  matrix.forEach((row, i) => {
    const current: number[] = []
    for (let j = 0; j <= i; j += 1) {
      const other = j === i ? current : (lower[j] ?? [])
      const rest = (row[j] ?? 0) - dot(current.slice(0, j), other.slice(0, j))
      current.push(j === i ? Math.sqrt(rest) : rest / (other[j] ?? Number.NaN))
    }
    lower.push(current)
  })
  return lower
}

function forward(lower: readonly (readonly number[])[], side: readonly number[]): number[] {
  const out: number[] = []
  lower.forEach((row, i) => {
    out.push(((side[i] ?? 0) - dot(row.slice(0, i), out)) / (row[i] ?? Number.NaN))
  })
  return out
}

function backward(lower: readonly (readonly number[])[], side: readonly number[]): number[] {
  const out = new Array<number>(side.length).fill(0)
  for (let i = side.length - 1; i >= 0; i -= 1) {
    let rest = side[i] ?? 0
    for (let j = i + 1; j < side.length; j += 1) rest -= (lower[j]?.[i] ?? 0) * (out[j] ?? 0)
    out[i] = rest / (lower[i]?.[i] ?? Number.NaN)
  }
  return out
}
