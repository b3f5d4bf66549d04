import type { Comparison, SummaryPayload } from '@fairpull/sdk/contract'
import { readComparison } from '@fairpull/sdk/contract/schemas'
import { digestBytes } from '../digest-bytes.ts'
import type { Runs, StoredAssessment } from '../ports.ts'
import type { ReportSource } from '../report/report-source.ts'

const decoder = new TextDecoder()

/**
 * What the pages of a stored assessment are made from.
 *
 * @param runs where its runs are kept; null when they are not to be shown. Then the pages hold what was signed, and nothing
 *   of the comparison behind it.
 * @throws StoreError when the store does not answer.
 */
export async function reportSourceOf(stored: StoredAssessment, runs: Runs | null): Promise<ReportSource> {
  const { payload, jws, status } = stored
  return {
    payload: JSON.parse(decoder.decode(payload)) as SummaryPayload,
    jws,
    status,
    comparison: runs === null ? null : await comparisonOf(stored, runs),
  }
}

/** The comparison put together again from its evidence; null when a run of it is not kept. */
async function comparisonOf({ tenant, comparison }: StoredAssessment, runs: Runs): Promise<Comparison | null> {
  const written = JSON.parse(decoder.decode(comparison)) as { readonly runs: readonly string[] }
  const stored = await Promise.all(written.runs.map((digest) => runs.find(tenant, digestBytes(digest))))
  const texts = stored.flatMap((bytes) => (bytes === undefined ? [] : [decoder.decode(bytes)]))
  if (texts.length < stored.length) return null
  const read = readComparison({ ...written, runs: texts.map((text): unknown => JSON.parse(text)) })
  return read.ok ? read.comparison : null
}
