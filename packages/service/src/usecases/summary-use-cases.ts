/** Publication and withdrawal, tied to the world they work in. */
import type { Comparison } from '@fairpull/sdk/contract'
import type { StoredAssessment } from '../ports.ts'
import type { ReportSource } from '../report/report-source.ts'
import {
  findPublished,
  findPublishedRuns,
  type LoggedAssessment,
  type PublicityDeps,
  publishSummary,
  type Tombstone,
  tombstoneOf,
  withdrawSummary,
} from './publish-summary.ts'
import { createRecentReads } from './recent-reads.ts'
import { reportSourceOf } from './report-source.ts'

/** What can be done with summaries that are, or are to be, public. */
export interface SummaryUseCases {
  /** Makes one public. */
  readonly publish: (request: Parameters<typeof publishSummary>[0]) => Promise<LoggedAssessment | undefined>
  /** One that was ever published, whoever asks; a withdrawal through another replica is seen within a second. */
  readonly find: (id: string) => Promise<LoggedAssessment | undefined>
  /** The comparison behind it, where that was published as well. */
  readonly runs: (id: string) => Promise<Comparison | undefined>
  /** What its pages are made from; without the runs where those were not published. */
  readonly reportSource: (id: string) => Promise<ReportSource | undefined>
  /** Takes one back. */
  readonly withdraw: (request: Parameters<typeof withdrawSummary>[0]) => Promise<Tombstone | undefined>
  /** The tombstone of one; undefined while it stands. */
  readonly tombstone: (stored: StoredAssessment) => Promise<Tombstone | undefined>
}

/** What the public reads is signed and cacheable for good, all but its withdrawal; this many are at hand, for so long. */
const PUBLIC_READS = { age_ms: 1_000, most: 64 }

/** The use cases over the world that they are given. */
export function createSummaryUseCases(deps: PublicityDeps): SummaryUseCases {
  const published = createRecentReads((id) => findPublished(id, deps), deps.clock, PUBLIC_READS)
  /** Does what changes a summary; whoever reads it from then on reads the change. */
  const changing = async <T>(id: string, work: Promise<T>): Promise<T> => {
    try {
      return await work
    } finally {
      published.forget(id)
    }
  }
  return {
    publish: (request) => changing(request.id, publishSummary(request, deps)),
    find: (id) => published.read(id),
    runs: (id) => findPublishedRuns(id, deps),
    reportSource: async (id) => {
      const found = await deps.store.assessments.findAnywhere(id)
      if (found === undefined || found.publication === null) return undefined
      const isOpen = found.status === 'published' && found.publication.withRuns
      return reportSourceOf(found, isOpen ? deps.store.runs : null)
    },
    withdraw: (request) => changing(request.id, withdrawSummary(request, deps)),
    tombstone: (stored) => tombstoneOf(stored, deps),
  }
}
