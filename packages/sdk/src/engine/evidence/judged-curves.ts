import type { Comparison } from '../../contract/comparison.ts'
import type { Side } from '../../contract/run.ts'
import { readSession } from '../inputs/session.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { evidenceOf } from './evidence.ts'

/** The power curves of the single runs, as judged: smoothed, on one grid, in the correction of the result. */
export interface JudgedCurves {
  /** Grid, the one of `gains.curve`. [rpm] */
  readonly engineSpeed_rpm: readonly number[]
  /** One curve per run used, document order. */
  readonly runs: readonly RunCurve[]
}

/** The curve of one run. */
export interface RunCurve {
  /** Id of the run. */
  readonly run: string
  /** Its side. */
  readonly side: Side
  /** Power at each grid point. [kW] */
  readonly power_kW: readonly number[]
}

/**
 * The curves whose means are `baseline_kW` and `modified_kW` of a result's gain curve; a result holds the means only.
 *
 * @param comparison a comparison that `readComparison` accepted.
 * @returns the curves, rounded to 6 significant digits; null where a used run has none, or they share no engine speed.
 *   Pure; never throws on weak evidence.
 *
 * Source: measurement-model §2. Tested: tests/report/chart.test.ts.
 */
export function judgedCurves(comparison: Comparison): JudgedCurves | null {
  const { session, curves } = evidenceOf(readSession(comparison))
  if (curves === null) return null
  const { grid, power } = curves
  return {
    engineSpeed_rpm: [...grid.engineSpeed_rpm],
    runs: session.used.map(({ id, side }, i) => ({
      run: id,
      side,
      power_kW: Array.from(power[i] ?? [], (watts) => roundSignificant(watts / 1000)),
    })),
  }
}
