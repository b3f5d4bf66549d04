import type { AssessmentListEntry, Assessments } from '../ports.ts'

/** One page of a list. */
export interface AssessmentPage {
  readonly entries: readonly AssessmentListEntry[]
  /** Identity after which the next page begins; null after the last one. */
  readonly next: string | null
}

/**
 * One page of the assessments of an organisation, newest first.
 *
 * The order is that of identities, which never change: what is added meanwhile neither shifts nor repeats an entry.
 */
export async function listAssessments(
  assessments: Pick<Assessments, 'list'>,
  tenant: string,
  { after, limit }: { readonly after: string | undefined; readonly limit: number },
): Promise<AssessmentPage> {
  // One more than asked for tells whether there is a next page.
  const found = await assessments.list(tenant, { ...(after === undefined ? {} : { before: after }), limit: limit + 1 })
  const entries = found.slice(0, limit)
  return { entries, next: found.length > limit ? (entries.at(-1)?.id ?? null) : null }
}
