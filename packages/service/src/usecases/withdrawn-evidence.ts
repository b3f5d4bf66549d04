/** Runs of a withdrawn summary are signed again only in a summary that says so. */
import type { Store, StoredRun } from '../ports.ts'

/** These withdrawn summaries hold runs that were to be signed again without saying so. */
export interface WithdrawnEvidence {
  readonly outcome: 'withdrawn-evidence'
  readonly summaries: readonly string[]
}

/**
 * Why runs cannot be signed; undefined when they can.
 *
 * @param supersedes the withdrawn summary that the new one replaces; it has to hold one of the runs. Null for none, where no
 *   withdrawn summary may hold any.
 * @throws StoreError from the store.
 */
export async function withdrawnEvidenceIn(
  runs: readonly StoredRun[],
  { tenant, supersedes }: { readonly tenant: string; readonly supersedes: string | null },
  { assessments }: Pick<Store, 'assessments'>,
): Promise<WithdrawnEvidence | undefined> {
  const summaries = await assessments.withdrawnWith(
    tenant,
    runs.map(({ digest }) => digest),
  )
  const isMeant = supersedes === null ? summaries.length === 0 : summaries.includes(supersedes)
  return isMeant ? undefined : { outcome: 'withdrawn-evidence', summaries }
}
