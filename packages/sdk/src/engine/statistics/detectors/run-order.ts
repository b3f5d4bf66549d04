import type { Detection } from './detection.ts'

/**
 * Runs that started before the run ahead of them in the sequence.
 *
 * Observed: number of such runs. [1] Limit: 0. The session is then analysed in both orders.
 *
 * @param start_s start of each run, in the submitted order. [s]
 * @returns the detection. Pure; never throws. Source: measurement-model §8, order-coherent. Tested: tests/vectors, detect.
 */
export function runOrder(start_s: readonly number[]): Detection {
  const runs = start_s.flatMap((start, i) =>
    i > 0 && start <= (start_s[i - 1] ?? Number.NEGATIVE_INFINITY) ? [i] : [],
  )
  return { observed: runs.length, limit: 0, isBroken: runs.length > 0, runs }
}
