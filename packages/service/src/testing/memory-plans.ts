/** Registered plans, kept in memory: the behaviour of the port without a database. */
import type {
  NewPlanRun,
  NumberOutcome,
  PlanOutcome,
  Plans,
  SiblingPlan,
  StoredPlan,
  StoredPlanRun,
} from '../plan-ports.ts'
import type { IdempotencyLookup, Store } from '../ports.ts'

/** What plans share with the rest of a store in memory. */
export interface MemoryPlanWorld {
  /** Claims an Idempotency-Key, or tells what it got. */
  readonly claim: (registration: Parameters<Plans['register']>[0]) => IdempotencyLookup
  readonly issue: Store['issue']
  /** Whether a summary is published. */
  readonly isPublished: (assessment: string) => boolean
  /** Throws while the store is broken. */
  readonly guard: () => void
}

/** Plans over a store in memory. */
export function createMemoryPlans({ claim, issue, isPublished, guard }: MemoryPlanWorld): Plans {
  const plans = new Map<string, StoredPlan>()
  const runs = new Map<string, StoredPlanRun[]>()
  const of = (tenant: string, id: string) => {
    guard()
    const plan = plans.get(id)
    return plan?.tenant === tenant ? plan : undefined
  }
  const change = (plan: StoredPlan, changed: Partial<StoredPlan>): PlanOutcome => {
    const next = { ...plan, ...changed }
    plans.set(plan.id, next)
    return { outcome: 'done', plan: next }
  }
  const siblings = (isMeant: (plan: StoredPlan) => boolean): readonly SiblingPlan[] =>
    [...plans.values()].filter(isMeant).map(({ id, status, keys, logged, assessment }) => ({
      ...{ id, status, keys, logged },
      isPublished: assessment !== null && isPublished(assessment),
    }))
  const number = (plan: StoredPlan, run: NewPlanRun): NumberOutcome => {
    const own = runs.get(plan.id) ?? []
    const known = own.find((each) => each.run === run.run)
    if (known !== undefined) {
      if (known.digest !== run.digest) return { outcome: 'other-run' }
      if (known.mounting?.digest !== run.mounting?.digest) return { outcome: 'other-mounting' }
      return { outcome: 'numbered', run: known, isNew: false, plan }
    }
    if (plan.status !== 'open' && plan.status !== 'running') return { outcome: 'wrong-state', status: plan.status }
    const described = own.find(({ mounting }) => mounting !== null && mounting.id === run.mounting?.id)
    if (described !== undefined && described.mounting?.digest !== run.mounting?.digest) {
      return { outcome: 'other-mounting' }
    }
    const { isCounted, ...rest } = run
    const stored = { ...rest, number: plan.logged + 1, acknowledged: null }
    runs.set(plan.id, [...own, stored])
    const counted = plan.counted + (isCounted ? 1 : 0)
    const status = counted >= plan.planned ? 'closed' : 'running'
    change(plan, { logged: stored.number, counted, status })
    return { outcome: 'numbered', run: stored, isNew: true, plan: plans.get(plan.id) ?? plan }
  }

  return {
    register: async (registration) => {
      guard()
      const { tenant, plan, response } = registration
      const earlier = claim(registration)
      if (earlier.outcome !== 'unused') return earlier
      plans.set(plan.id, { ...plan, tenant, status: 'open', counted: 0, logged: 0, assessment: null })
      return { outcome: 'issued', response }
    },
    find: async (tenant, id) => of(tenant, id),
    list: async (tenant, { before, limit }) => {
      guard()
      const own = [...plans.values()].filter((plan) => plan.tenant === tenant).reverse()
      const older = own.filter(({ id }) => before === undefined || id < before)
      return older.slice(0, limit).map(({ id, createdAt, status, assessment, keys }) => ({
        ...{ id, createdAt, status, assessment },
        product: keys.product,
      }))
    },
    entries: async (tenant, id) => (of(tenant, id) === undefined ? [] : (runs.get(id) ?? [])),
    runs: async (tenant, id) => (of(tenant, id) === undefined ? [] : (runs.get(id) ?? [])),
    number: async (tenant, id, run) => {
      const plan = of(tenant, id)
      return plan === undefined ? { outcome: 'unknown' } : number(plan, run)
    },
    acknowledge: async (_tenant, id, place, acknowledgement) => {
      const own = runs.get(id) ?? []
      const kept = own.find((run) => run.number === place)?.acknowledged ?? acknowledgement
      runs.set(
        id,
        own.map((run) => (run.number === place ? { ...run, acknowledged: kept } : run)),
      )
      return kept
    },
    amend: async (tenant, id, { expected, version, keys, planned }) => {
      const plan = of(tenant, id)
      if (plan === undefined) return { outcome: 'unknown' }
      if (plan.status !== 'open' && plan.status !== 'running') return { outcome: 'wrong-state', status: plan.status }
      if (plan.versions.length !== expected) return { outcome: 'overtaken' }
      const versions = [...plan.versions, { ...version, afterFirstRun: plan.logged > 0 }]
      const isComplete = plan.logged > 0 && plan.counted >= planned
      return change(plan, { versions, keys, planned, ...(isComplete ? { status: 'closed' } : {}) })
    },
    end: async (tenant, id, status) => {
      const plan = of(tenant, id)
      if (plan === undefined) return { outcome: 'unknown' }
      if (plan.status === status) return { outcome: 'done', plan }
      const from = { closed: ['running'], abandoned: ['running', 'closed'], withdrawn: ['open'] }[status]
      return from.includes(plan.status) ? change(plan, { status }) : { outcome: 'wrong-state', status: plan.status }
    },
    siblings: async (tenant, product) => siblings((plan) => plan.tenant === tenant && plan.keys.product === product),
    ofPublisher: async (publisher, product) => {
      guard()
      return siblings((plan) => plan.publisher === publisher && plan.keys.product === product)
    },
    issue: async (id, issuance) => {
      const plan = of(issuance.tenant, id)
      if (plan === undefined) return { outcome: 'unknown' }
      if (plan.assessment !== null) return { outcome: 'assessed', assessment: plan.assessment }
      if (plan.status !== 'closed') return { outcome: 'wrong-state', status: plan.status }
      await issue({ ...issuance, idempotency: null })
      change(plan, { status: 'assessed', assessment: issuance.assessment.id })
      return { outcome: 'issued', response: issuance.response }
    },
  }
}
