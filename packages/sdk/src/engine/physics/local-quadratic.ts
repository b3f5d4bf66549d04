import { EngineError } from '../engine-error.ts'

/** Samples in the window when the caller names no other; odd. */
export const defaultWindow_samples = 11

/** A curve and its slope, each with what is known of their noise; one entry per sample, sample order. */
export interface LocalQuadratic {
  /** The smoothed curve. [y] */
  readonly value: Float64Array
  /** Its slope. [y/x] */
  readonly slope: Float64Array
  /** Variances and covariance of both for a residual variance of 1. [1], [1/x2], [1/x] */
  readonly valueVariance: Float64Array
  readonly slopeVariance: Float64Array
  readonly covariance: Float64Array
  /** Residual variance of one sample about the local curves, pooled over all samples. [y2] */
  readonly residualVariance: number
}

/** Sums over one window, with x measured from the sample in units of the window's reach. */
interface Moments {
  readonly x0: number
  readonly x1: number
  readonly x2: number
  readonly x3: number
  readonly x4: number
  readonly y0: number
  readonly y1: number
  readonly y2: number
}

interface LocalFit {
  readonly value: number
  readonly slope: number
  readonly valueVariance: number
  readonly slopeVariance: number
  readonly covariance: number
}

function momentsAbout(
  x: Float64Array,
  y: Float64Array,
  start: number,
  end: number,
  at: number,
  reach: number,
): Moments {
  let [x1, x2, x3, x4, y0, y1, y2] = [0, 0, 0, 0, 0, 0, 0]
  const centre = x[at] ?? 0
  for (let i = start; i < end; i++) {
    const s = ((x[i] ?? 0) - centre) / reach
    const v = y[i] ?? 0
    const s2 = s * s
    x1 += s
    x2 += s2
    x3 += s2 * s
    x4 += s2 * s2
    y0 += v
    y1 += s * v
    y2 += s2 * v
  }
  return { x0: end - start, x1, x2, x3, x4, y0, y1, y2 }
}

/** Least squares of y = a + b s + c s2 at s = 0, by the cofactors of the symmetric normal matrix. */
function solveAtCentre(m: Moments): LocalFit {
  const aa = m.x2 * m.x4 - m.x3 * m.x3
  const ab = m.x2 * m.x3 - m.x1 * m.x4
  const ac = m.x1 * m.x3 - m.x2 * m.x2
  const bb = m.x0 * m.x4 - m.x2 * m.x2
  const bc = m.x1 * m.x2 - m.x0 * m.x3
  const determinant = m.x0 * aa + m.x1 * ab + m.x2 * ac
  return {
    value: (aa * m.y0 + ab * m.y1 + ac * m.y2) / determinant,
    slope: (ab * m.y0 + bb * m.y1 + bc * m.y2) / determinant,
    valueVariance: aa / determinant,
    slopeVariance: bb / determinant,
    covariance: ab / determinant,
  }
}

function requireCurve(x: Float64Array, y: Float64Array, window: number): void {
  if (x.length !== y.length) throw new EngineError('ERR_LENGTH', `${x.length} against ${y.length} samples`, 'y')
  if (!(Number.isInteger(window) && window >= 5 && window % 2 === 1)) {
    throw new EngineError('ERR_OUT_OF_RANGE', `a window of ${window} samples is not odd and at least 5`, 'window')
  }
  if (x.length < window) throw new EngineError('ERR_EMPTY', `${x.length} samples, the window needs ${window}`, 'x')
  for (let i = 1; i < x.length; i++) {
    if ((x[i] ?? Number.NaN) > (x[i - 1] ?? Number.NaN)) continue
    throw new EngineError('ERR_NOT_INCREASING', `sample ${i} does not come after sample ${i - 1}`, 'x')
  }
}

/**
 * A curve and its slope by local least squares: the differentiation behind every power from roller speed.
 *
 * At each sample a parabola is fitted, with equal weights, to the `window` samples around it (the first and last
 * windows keep their samples and are read off centre); value and slope of the parabola at the sample are taken. Evenly
 * spaced samples make this the quadratic filter of Savitzky and Golay. Unevenly spaced ones need no resampling.
 *
 * @param x axis, strictly rising. [x], at least `window` samples
 * @param y curve, same length. [y]
 * @param window samples in the window. odd, at least 5
 * @returns curve, slope and their noise. The residual variance is Σ r2 / Σ (1 - h), r the residual of the sample
 *   itself and h its leverage: unbiased where the curve is locally a parabola, too large where it bends faster.
 * @throws EngineError `ERR_LENGTH`, `ERR_EMPTY` (fewer samples than the window), `ERR_NOT_INCREASING`,
 *   `ERR_OUT_OF_RANGE` (window).
 *
 * Uncertainty: the slope of an evenly sampled curve with spacing d and noise σ has standard uncertainty
 * σ / (d √(N (N2 - 1) / 12)), N = window; its bias is one sixth of the third derivative times (3 N2 - 7) d2 / 20.
 * Source: A. Savitzky and M. Golay, Anal. Chem. 36 (1964) 1627-1639. Tested: tests/engine/physics/roller.test.ts.
 */
export function localQuadratic(
  x: Float64Array,
  y: Float64Array,
  window: number = defaultWindow_samples,
): LocalQuadratic {
  requireCurve(x, y, window)
  const n = x.length
  const value = new Float64Array(n)
  const slope = new Float64Array(n)
  const valueVariance = new Float64Array(n)
  const slopeVariance = new Float64Array(n)
  const covariance = new Float64Array(n)
  let [residuals, freedom] = [0, 0]
  for (let i = 0; i < n; i++) {
    const start = Math.max(0, Math.min(i - (window - 1) / 2, n - window))
    const reach = (x[start + window - 1] ?? 0) - (x[start] ?? 0)
    const fit = solveAtCentre(momentsAbout(x, y, start, start + window, i, reach))
    value[i] = fit.value
    slope[i] = fit.slope / reach
    valueVariance[i] = fit.valueVariance
    slopeVariance[i] = fit.slopeVariance / reach ** 2
    covariance[i] = fit.covariance / reach
    residuals += ((y[i] ?? Number.NaN) - fit.value) ** 2
    freedom += 1 - fit.valueVariance
  }
  return { value, slope, valueVariance, slopeVariance, covariance, residualVariance: residuals / freedom }
}
