import type { SessionRun } from '../inputs/session.ts'
import { WHERE_SILENT } from '../statistics/facility-record.ts'
import type { ReturnInput } from '../statistics/returned-to-baseline.ts'
import type { Evidence } from './evidence.ts'
import { sessionFigure } from './figures.ts'

/** First and last baseline block, ready to be compared. */
export interface BaselineBlocks {
  readonly input: ReturnInput
  readonly runs: readonly string[]
}

/**
 * The first and the last block of baseline runs, where modified runs stand between them; on the logarithmic scale.
 *
 * @param evidence the evidence.
 * @returns both blocks; null where there is one block or no headline. Pure; never throws.
 */
export function baselineBlocks(evidence: Evidence): BaselineBlocks | null {
  const { session, headline, models, record } = evidence
  if (headline === null) return null
  const indexed = session.used.map((run, index) => ({ run, index }))
  const firstModified = session.used.findIndex(({ side }) => side === 'modified')
  const lastModified = session.used.findLastIndex(({ side }) => side === 'modified')
  const first = indexed.filter(({ run, index }) => run.side === 'baseline' && index < firstModified)
  const last = indexed.filter(({ run, index }) => run.side === 'baseline' && index > lastModified)
  if (first.length === 0 || last.length === 0) return null

  const { values } = sessionFigure(session, evidence.curves, evidence.correction.toJudged, headline.subject)
  const mean = (block: typeof first, of: (index: number) => number) =>
    block.reduce((sum, { index }) => sum + of(index), 0) / block.length
  const y = (index: number) => Math.log(values[index] ?? Number.NaN)
  const t = (index: number) => models.session[index] ?? 0
  const mountingsOf = (block: readonly { readonly run: SessionRun }[]) => new Set(block.map(({ run }) => run.mounting))
  const { fit } = headline
  return {
    runs: [...first, ...last].map(({ run }) => run.id),
    input: {
      means: [mean(first, y), mean(last, y)],
      sizes: [first.length, last.length],
      meanT: [mean(first, t), mean(last, t)],
      runVariance: fit.repeatability.variance,
      runDof: fit.repeatability.dof,
      mountVariance: fit.mountSd === null ? null : fit.mountSd ** 2,
      driftSd: fit.level * (record?.driftRelSdPerRun ?? WHERE_SILENT.driftRelSdPerRun),
      inAnotherMounting: ![...mountingsOf(last)].every((mounting) => mountingsOf(first).has(mounting)),
    },
  }
}
