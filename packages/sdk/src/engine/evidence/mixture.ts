import type { SessionRun } from '../inputs/session.ts'
import type { Detection } from '../statistics/detectors/detection.ts'
import { leanStarvation, powerLossStarvation } from '../statistics/detectors/fuel-starvation.ts'
import { gridOf, onGrid } from '../statistics/grid.ts'
import type { Evidence } from './evidence.ts'
import { forEveryRun } from './speed-trace.ts'
import type { Traces } from './trace.ts'

/**
 * Lambda of a run on its own grid of 50 rpm.
 *
 * @param run the run.
 * @param traces of the session.
 * @returns one value per grid point; null without a mixture channel, or where the sweep holds no grid point.
 */
export function ownLambda_1(run: SessionRun, traces: Traces): Float64Array | null {
  const curve = traces.get(run)?.lambda
  const grid = curve == null ? null : gridOf([curve])
  return curve == null || grid === null ? null : onGrid(curve, grid)
}

/** Whether runs starve at the top of the range, and what told it. */
export interface Starvation {
  /** Runs that do. */
  readonly runs: readonly SessionRun[]
  /** What was looked at. */
  readonly by: 'lambda' | 'power'
  /** Statistic and limit. [1] */
  readonly observed: number
  readonly limit: number
}

/**
 * Runs that starve at the top of the range: by lambda where every run recorded it, else by the loss of power against the
 * others of their side.
 *
 * @param evidence the evidence.
 * @returns what was found; null where nothing tells it: no curves on a common grid, or no side with two runs.
 *
 * Source: measurement-model §8, fuelling.
 */
export function starvationOf(evidence: Evidence): Starvation | null {
  const { compared, session, traces, curves } = evidence
  if (compared === null || curves === null) return null
  const lambda = forEveryRun(session.used, (run) => traces.get(run)?.lambda ?? null)
  const named = ({ runs, observed, limit }: Detection, by: Starvation['by']): Starvation => ({
    runs: runs.flatMap((i) => session.used[i] ?? []),
    by,
    observed,
    limit,
  })
  if (lambda !== null && session.used.length > 1) {
    const onCommonGrid = lambda.map((curve) => onGrid(curve, curves.grid))
    return named(leanStarvation(compared.curves, onCommonGrid), 'lambda')
  }
  const loss = powerLossStarvation(compared.curves, compared.scale)
  return loss === null ? null : named(loss, 'power')
}
