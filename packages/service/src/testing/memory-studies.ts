/** Repeatability studies, kept in memory: the behaviour of the port without a database. */
import type { IdempotencyLookup } from '../ports.ts'
import type { StoredStudy, Studies } from '../study-ports.ts'

/** What studies share with the rest of a store in memory. */
export interface MemoryStudyWorld {
  /** Claims an Idempotency-Key, or tells what it got. */
  readonly claim: (registration: Parameters<Studies['register']>[0]) => IdempotencyLookup
  /** Throws while the store is broken. */
  readonly guard: () => void
}

/** Studies over a store in memory. */
export function createMemoryStudies({ claim, guard }: MemoryStudyWorld): Studies {
  const studies: StoredStudy[] = []
  const of = (tenant: string) => {
    guard()
    return studies.filter((study) => study.tenant === tenant)
  }
  return {
    register: async (registration) => {
      guard()
      const { tenant, study, response } = registration
      const earlier = claim(registration)
      if (earlier.outcome !== 'unused') return earlier
      studies.push({ ...study, tenant })
      return { outcome: 'issued', response }
    },
    find: async (tenant, id) => of(tenant).find((study) => study.id === id),
    list: async (tenant, { before, limit, facility }) => {
      const meant = of(tenant).filter((study) => facility === undefined || study.facility === facility)
      const newestFirst = meant.sort((one, other) => (one.id < other.id ? 1 : -1))
      return newestFirst.filter(({ id }) => before === undefined || id < before).slice(0, limit)
    },
  }
}
