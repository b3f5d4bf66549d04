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
 * The first and the last block of baseline runs, where modified runs stand between them; on the logarithmic scale. Modified runs
 * may follow the last one, as in A-B-A-B.
 *
 * @param evidence the evidence.
 * @returns both blocks; null where there is one block or no headline. Pure; never throws.
 */
export function baselineBlocks(evidence: Evidence): BaselineBlocks | null {
  const { session, headline, models, record } = evidence
  if (headline === null) return null
  const blocks = blocksOfBaseline(session.used)
  const [first, last] = [blocks[0], blocks.at(-1)]
  if (first === undefined || last === undefined || first === last) return null

  const { values } = sessionFigure(session, evidence.curves, evidence.correction.toJudged, headline.subject)
  const mean = (block: BaselineBlock, of: (index: number) => number) =>
    block.reduce((sum, { index }) => sum + of(index), 0) / block.length
  const y = (index: number) => Math.log(values[index] ?? Number.NaN)
  const t = (index: number) => models.session[index] ?? 0
  const mountingsOf = (block: BaselineBlock) => new Set(block.map(({ run }) => run.mounting))
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

/** Baseline runs with no modified run between them, each with its place among the used runs. */
type BaselineBlock = readonly { readonly run: SessionRun; readonly index: number }[]

function blocksOfBaseline(used: readonly SessionRun[]): readonly BaselineBlock[] {
  const blocks: { readonly run: SessionRun; readonly index: number }[][] = []
  used.forEach((run, index) => {
    if (run.side !== 'baseline') return
    const continues = used[index - 1]?.side === 'baseline'
    if (continues) blocks.at(-1)?.push({ run, index })
    else blocks.push([{ run, index }])
  })
  return blocks
}
