/** The record, kept in memory: the behaviour of the port without a database. */

import type { LogReceipt } from '@fairpull/sdk/contract'
import type { PlanStore } from '../plan-ports.ts'
import type {
  Caller,
  IdempotencyClaim,
  IdempotencyLookup,
  Issuance,
  Store,
  StoredAssessment,
  StoredResponse,
} from '../ports.ts'
import { createMemoryLogStorage, type MemoryLogStorage } from './memory-log.ts'
import { createMemoryPlans } from './memory-plans.ts'
import { createMemoryStudies } from './memory-studies.ts'

/** A store in memory, and what a test may look at or set. */
export interface MemoryStore extends PlanStore {
  readonly logStorage: MemoryLogStorage
  /** Everything that was issued, in order. */
  readonly issued: readonly Issuance[]
  /** Lets a key in. */
  admit(key: string, caller: Caller): void
  /** Makes a summary count as published for the plans. */
  publish(assessment: string): void
  /** Makes every later call throw this; undefined heals it. */
  breakWith(error: Error | undefined): void
}

interface Answered {
  readonly claim: IdempotencyClaim
  readonly response: StoredResponse
}

type Publicity = Pick<StoredAssessment, 'status' | 'publication' | 'withdrawal'>

const PRIVATE: Publicity = { status: 'private', publication: null, withdrawal: null }

/** An empty store in memory. */
export function createMemoryStore(logOrigin?: string): MemoryStore {
  const issued: Issuance[] = []
  const publicity = new Map<string, Publicity>()
  const places = new Map<string, LogReceipt>()
  const callers = new Map<string, Caller>()
  const answered = new Map<string, Answered>()
  const broken: { error: Error | undefined } = { error: undefined }
  const guard = () => {
    if (broken.error !== undefined) throw broken.error
  }
  const lookUp = (tenant: string, claim: IdempotencyClaim): IdempotencyLookup => {
    const known = answered.get(`${tenant} ${claim.key}`)
    if (known === undefined) return { outcome: 'unused' }
    const isSame = Buffer.compare(known.claim.requestDigest, claim.requestDigest) === 0
    return isSame ? { outcome: 'replayed', response: known.response } : { outcome: 'conflict' }
  }
  const assessments = (tenant: string): readonly StoredAssessment[] =>
    issued
      .filter((each) => each.tenant === tenant)
      .map((each) => ({
        ...each.assessment,
        tenant,
        ...(publicity.get(each.assessment.id) ?? PRIVATE),
        log: places.get(each.assessment.id) ?? null,
      }))
      .sort((one, other) => (one.id < other.id ? 1 : -1))

  const claim = ({ tenant, idempotency, response }: Pick<Issuance, 'tenant' | 'idempotency' | 'response'>) => {
    const earlier: IdempotencyLookup = idempotency === null ? { outcome: 'unused' } : lookUp(tenant, idempotency)
    if (idempotency !== null && earlier.outcome === 'unused') {
      answered.set(`${tenant} ${idempotency.key}`, { claim: idempotency, response })
    }
    return earlier
  }
  const issue: Store['issue'] = async (issuance) => {
    guard()
    const earlier = claim(issuance)
    if (earlier.outcome !== 'unused') return earlier
    issued.push(issuance)
    return { outcome: 'issued', response: issuance.response }
  }
  const published = new Set<string>()

  return {
    issued,
    publish: (assessment) => published.add(assessment),
    plans: createMemoryPlans({ claim, issue, isPublished: (assessment) => published.has(assessment), guard }),
    studies: createMemoryStudies({ claim, guard }),
    admit: (key, caller) => callers.set(key, caller),
    breakWith: (error) => {
      broken.error = error
    },
    logStorage: createMemoryLogStorage(logOrigin),
    assessments: {
      place: async (_tenant, id, log) => {
        guard()
        const kept = places.get(id) ?? log
        places.set(id, kept)
        return kept
      },
      publish: async (tenant, id, { at, withRuns }) => {
        guard()
        const known = publicity.get(id) ?? PRIVATE
        if (known.status !== 'withdrawn') {
          const publication = {
            at: known.publication?.at ?? at,
            withRuns: withRuns || known.publication?.withRuns === true,
          }
          publicity.set(id, { ...known, status: 'published', publication })
        }
        return assessments(tenant).find((each) => each.id === id)
      },
      withdraw: async (tenant, id, withdrawal) => {
        guard()
        const known = publicity.get(id) ?? PRIVATE
        if (assessments(tenant).some((each) => each.id === id) && known.status !== 'withdrawn') {
          publicity.set(id, { ...known, status: 'withdrawn', withdrawal })
        }
        return assessments(tenant).find((each) => each.id === id)
      },
      findAnywhere: async (id) => {
        guard()
        const tenants = new Set(issued.map(({ tenant }) => tenant))
        return [...tenants].flatMap(assessments).find((each) => each.id === id)
      },
      withdrawnWith: async (tenant, runs) => {
        guard()
        const digests = new Set(runs.map((digest) => Buffer.from(digest).toString('hex')))
        return issued
          .filter((each) => each.tenant === tenant && publicity.get(each.assessment.id)?.status === 'withdrawn')
          .filter((each) => each.runs.some(({ digest }) => digests.has(Buffer.from(digest).toString('hex'))))
          .map(({ assessment }) => assessment.id)
          .sort()
      },
      unlogged: async (limit) =>
        issued
          .filter(({ assessment }) => !places.has(assessment.id))
          .slice(0, limit)
          .map(({ tenant, assessment }) => ({ tenant, id: assessment.id, jws: assessment.jws })),
      find: async (tenant, id) => {
        guard()
        return assessments(tenant).find((each) => each.id === id)
      },
      list: async (tenant, { before, limit }) => {
        guard()
        const older = assessments(tenant).filter(({ id }) => before === undefined || id < before)
        return older.slice(0, limit).map(({ id, createdAt, status }) => ({ id, createdAt, status }))
      },
    },
    runs: {
      find: async (tenant, digest) =>
        issued
          .filter((each) => each.tenant === tenant)
          .flatMap((each) => each.runs)
          .find((run) => Buffer.compare(run.digest, digest) === 0)?.bytes,
    },
    idempotency: {
      find: async (tenant, claim) => {
        guard()
        return lookUp(tenant, claim)
      },
      purge: async () => 0,
    },
    apiKeys: {
      authenticate: async (text) => {
        guard()
        return callers.get(text)
      },
      create: async () => undefined,
      revoke: async () => false,
      organisations: async () => [],
      addOrganisation: async () => undefined,
      list: async () => [],
      add: async () => false,
      createFirst: async () => false,
    },
    issue,
    noteTrustList: async () => undefined,
    check: async () => guard(),
    close: async () => undefined,
  }
}
