/**
 * Gaussian kernel on an equally spaced grid: weights exp(−(i − j)² (spacing/sd)²/2), not truncated, renormalised at every
 * point so that a constant stays a constant up to the ends.
 */
export interface GaussianKernel {
  /** Weight at so many grid steps. */
  readonly weights: Float64Array
  /** Sum of the weights that reach each point from inside the grid. */
  readonly norms: Float64Array
}

/**
 * The kernel of a grid.
 *
 * @param length grid points. [1], at or above 1
 * @param stepsPerSd standard deviation in grid steps. [1], above 0
 * @returns the kernel, to be made once and used for every curve on the grid.
 */
export function gaussianKernel(length: number, stepsPerSd: number): GaussianKernel {
  const weights = Float64Array.from({ length }, (_, k) => Math.exp(-0.5 * (k / stepsPerSd) ** 2))
  const norms = new Float64Array(length)
  for (let i = 0; i < length; i++) {
    let norm = 0
    for (let j = 0; j < length; j++) norm += weights[Math.abs(i - j)] ?? 0
    norms[i] = norm
  }
  return { weights, norms }
}

/**
 * A curve smoothed on its grid.
 *
 * @param values one number per grid point; not changed.
 * @param kernel of a grid of the same length.
 * @returns a new array of the same length. Pure; never throws.
 */
export function smoothed(values: Float64Array, { weights, norms }: GaussianKernel): Float64Array {
  const { length } = values
  const result = new Float64Array(length)
  for (let i = 0; i < length; i++) {
    let sum = 0
    for (let j = 0; j < length; j++) sum += (weights[Math.abs(i - j)] ?? 0) * (values[j] ?? 0)
    result[i] = sum / (norms[i] ?? 1)
  }
  return result
}
