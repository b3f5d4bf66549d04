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
import { reportSourceOf } from './report-source.ts'

/** What can be done with summaries that are, or are to be, public. */
export interface SummaryUseCases {
  /** Makes one public. */
  readonly publish: (request: Parameters<typeof publishSummary>[0]) => Promise<LoggedAssessment | undefined>
  /** One that was ever published, whoever asks. */
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

/** The use cases over the world that they are given. */
export function createSummaryUseCases(deps: PublicityDeps): SummaryUseCases {
  return {
    publish: (request) => publishSummary(request, deps),
    find: (id) => findPublished(id, deps),
    runs: (id) => findPublishedRuns(id, deps),
    reportSource: async (id) => {
      const found = await deps.store.assessments.findAnywhere(id)
      if (found === undefined || found.publication === null) return undefined
      const isOpen = found.status === 'published' && found.publication.withRuns
      return reportSourceOf(found, isOpen ? deps.store.runs : null)
    },
    withdraw: (request) => withdrawSummary(request, deps),
    tombstone: (stored) => tombstoneOf(stored, deps),
  }
}
