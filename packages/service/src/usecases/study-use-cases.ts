/** What the service can do with repeatability studies, each tied to the world it works in. */
import type { RegisteredStudy, Study, StudyCharts, StudyResult } from '@fairpull/sdk/contract'
import { assessStudy, controlCharts } from '@fairpull/sdk/engine'
import { UUID } from '../identity.ts'
import type { IssuedRecords, PlanStore } from '../plan-ports.ts'
import type { Caller, Clock, IdempotencyClaim, Ids, IssueOutcome, StoredResponse } from '../ports.ts'
import type { Studies, StudyEntry } from '../study-ports.ts'
import { runBytes } from './evidence.ts'

/** What the use cases of studies need of the world. */
export interface StudyDeps {
  readonly store: Pick<PlanStore, 'idempotency' | 'studies'>
  readonly clock: Clock
  readonly ids: Ids
}

/** A study to be registered. */
export interface RegisterStudyRequest {
  readonly caller: Caller
  /** Read by `readStudy`, under a protocol that this service has. */
  readonly study: Study
  /** The caller's key for repetitions; null when there is none. */
  readonly repetition: { readonly key: string; readonly requestDigest: Uint8Array } | null
  /** The answer to be given, and to be kept for repetitions. */
  readonly answer: (study: RegisteredStudy) => StoredResponse
}

/** One page of a list of studies. */
export interface StudyPage {
  readonly studies: readonly RegisteredStudy[]
  /** Identity after which the next page begins; null after the last one. */
  readonly next: string | null
}

/** What the service can do with studies. */
export interface StudyUseCases {
  /** Assesses and stores; the record then names the study by its identity. */
  readonly register: (request: RegisterStudyRequest) => Promise<IssueOutcome>
  /** One study of an organisation; undefined for a missing one and for another organisation's alike. */
  readonly find: (tenant: string, id: string) => Promise<RegisteredStudy | undefined>
  /** One page of the studies of an organisation, newest first. */
  readonly list: (
    tenant: string,
    page: { readonly after: string | undefined; readonly limit: number },
  ) => Promise<StudyPage>
  /** Control charts over the latest studies of a facility, the oldest first. */
  readonly charts: (tenant: string, facility: string) => Promise<StudyCharts>
}

/** How long an answer is kept for repetitions. [ms] */
const REPETITIONS_KEPT_MS = 24 * 60 * 60 * 1000

/** Most studies on one chart. */
const MOST_ON_CHART = 200

/** The use cases over the world that they are given. */
export function createStudyUseCases(deps: StudyDeps): StudyUseCases {
  const { studies } = deps.store
  return {
    register: (request) => registerStudy(request, deps),
    find: async (tenant, id) => {
      const found = await studies.find(tenant, id)
      return found === undefined ? undefined : registered(found)
    },
    list: async (tenant, { after, limit }) => {
      const found = await studies.list(tenant, { ...(after === undefined ? {} : { before: after }), limit: limit + 1 })
      const page = found.slice(0, limit)
      return { studies: page.map(registered), next: found.length > limit ? (page.at(-1)?.id ?? null) : null }
    },
    charts: async (tenant, facility) => {
      const found = await studies.list(tenant, { limit: MOST_ON_CHART, facility })
      const charted = found.map(registered).toReversed()
      const points = charted.map(({ id, result }) => ({
        ...{ study: id, on: result.record?.on ?? null, scatter: result.scatter },
      }))
      return { facility, charts: controlCharts(points) }
    },
  }
}

/** The records that a register issued: those of its studies, under their identities. */
export function issuedRecordsOf(studies: Pick<Studies, 'find'>): IssuedRecords {
  return {
    find: async (tenant, study, facility) => {
      if (!UUID.test(study)) return undefined
      const found = await studies.find(tenant, study)
      if (found === undefined || found.facility !== facility) return undefined
      return registered(found).result.record ?? undefined
    },
  }
}

/**
 * Assesses a study and stores it with what it was made from.
 *
 * A repetition is answered with the first answer, before any work.
 *
 * @throws StoreError from the store; nothing is registered then.
 */
async function registerStudy(request: RegisterStudyRequest, deps: StudyDeps): Promise<IssueOutcome> {
  const { caller, study } = request
  const now = deps.clock.now()
  const idempotency = claimOf(request, now)
  const earlier = idempotency === null ? undefined : await deps.store.idempotency.find(caller.tenant, idempotency, now)
  if (earlier !== undefined && earlier.outcome !== 'unused') return earlier

  const id = deps.ids.next()
  const createdAt = deps.clock.now()
  const result = namedAfter(id, assessStudy(study))
  const response = request.answer({ id, registeredAt: createdAt.toISOString(), result })
  return deps.store.studies.register({
    tenant: caller.tenant,
    idempotency,
    study: { id, createdAt, facility: study.facility.id, study: studyBytes(study), result: jsonOf(result) },
    response,
  })
}

function claimOf({ repetition }: RegisterStudyRequest, now: Date): IdempotencyClaim | null {
  return repetition === null ? null : { ...repetition, expiresAt: new Date(now.getTime() + REPETITIONS_KEPT_MS) }
}

/** The identity that the register gave stands in the record in the place of the facility's own name. */
function namedAfter(id: string, result: StudyResult): StudyResult {
  return result.record === null ? result : { ...result, record: { ...result.record, study: id } }
}

function registered({ id, createdAt, result }: StudyEntry): RegisteredStudy {
  return { id, registeredAt: createdAt.toISOString(), result: JSON.parse(Buffer.from(result).toString('utf8')) }
}

/** The study as it was submitted, the channels of its runs in base64. */
function studyBytes({ runs, ...study }: Study): Uint8Array {
  const head = JSON.stringify(study).slice(0, -1)
  const bodies = runs.map((run) => Buffer.from(runBytes(run)).toString('utf8'))
  return Buffer.from(`${head},"runs":[${bodies.join(',')}]}`)
}

function jsonOf(value: unknown): Uint8Array {
  return Buffer.from(JSON.stringify(value))
}
