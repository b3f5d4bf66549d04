import { erf } from '../numerics/erf.ts'

/**
 * Share of the local noise that is left in a band mean.
 *
 * h(q) = (2/q²)[q √(π/2) erf(q/√2) − (1 − e^{−q²/2})], q = width / correlation length; 1 − q²/12 for q below 1e-4.
 *
 * @param width_rpm width of the band. [rpm], at or above 0
 * @param correlation_rpm correlation length of the noise. [rpm], above 0
 * @returns h. [1], 0 to 1
 *
 * Source: variance of the mean of a stationary process with Gaussian correlation; measurement-model §3. Tested: tests/vectors, h_band.
 */
export function bandVarianceShare(width_rpm: number, correlation_rpm: number): number {
  const q = width_rpm / correlation_rpm
  if (q < 1e-4) return 1 - (q * q) / 12
  return (2 / (q * q)) * (q * Math.sqrt(Math.PI / 2) * erf(q / Math.SQRT2) + Math.expm1((-q * q) / 2))
}
