/** Plans and their records with every member. */
import type { Draft } from './comparison-fixture.ts'
import { fullComparison } from './comparison-fixture.ts'

const claim = {
  id: 'power',
  quantity: 'wheel-power',
  over: { kind: 'band-mean', from: { value: 4000, unit: 'rpm' }, to: { value: 10000, unit: 'rpm' } },
  relation: 'at-least',
  gain: { value: 2, unit: '%' },
}

const blocks = [
  { mounting: 'm1', side: 'baseline', runs: 2 },
  { mounting: 'm1', side: 'modified', runs: 2 },
  { mounting: 'm1', side: 'baseline', runs: 1 },
]

const draw = { seed: 7, pairs: 3, mountings: ['m1', 'm2'] }

function terms(): Draft {
  const { reportIn, facility, vehicles, driveTyres, changes } = fullComparison()
  return {
    product: 'Silencer of the fixture',
    protocol: 'motorcycle-rollers@1',
    reportIn,
    facility,
    vehicle: (vehicles as readonly Draft[])[0],
    driveTyres,
    changes,
    conditioningRuns: 3,
    primary: claim,
    further: [{ ...claim, id: 'more', gain: { value: 1, unit: '%' } }],
    exclusionRules: ['trace', 'slip', 'fuelling'],
  }
}

/** A plan as it is sent; it holds both forms of the order, which only the sense of it refuses. */
export function fullPlanRequest(): Draft {
  return { ...terms(), blocks, draw }
}

/** The payload of a receipt. */
export function fullReceipt(): Draft {
  return {
    issuer: 'Register of the fixture',
    plan: '01890000-0000-7000-8000-000000000001',
    number: 1,
    run: 'b1',
    digest: `sha256:${'ab'.repeat(32)}`,
    mounting: `sha256:${'cd'.repeat(32)}`,
    logIndex: 4,
    receivedAt: '2026-05-02T09:30:00Z',
  }
}

function loggedRun(): Draft {
  return { number: 1, run: 'b1', receipt: 'a.b.c', payload: fullReceipt(), excludedBy: 'slip' }
}

/** The answer to a logged run. */
export function fullRunLogged(): Draft {
  return { ...loggedRun(), status: 'running', remaining: 4 }
}

/** The record of a plan. */
export function fullPlanRecord(): Draft {
  return {
    id: '01890000-0000-7000-8000-000000000001',
    status: 'running',
    registration: 'amended',
    registeredAt: '2026-05-02T09:00:00Z',
    publisher: 'Workshop of the fixture',
    logIndex: 3,
    salt: '0f'.repeat(32),
    challenge: '1e'.repeat(32),
    terms: { ...terms(), blocks, draw },
    amendments: [{ version: 2, at: '2026-05-02T09:10:00Z', reason: 'One run more.', logIndex: 5, afterFirstRun: true }],
    planned: 5,
    remaining: 4,
    runs: [loggedRun()],
    assessment: '01890000-0000-7000-8000-000000000002',
  }
}

/** What a comparison carries of its plan. */
export function fullRegisteredPlan(): Draft {
  const { id, registeredAt, logIndex, salt, terms: frozen, amendments } = fullPlanRecord()
  const { number, run, digest, logIndex: place, receivedAt } = fullReceipt()
  return {
    ...{ id, registeredAt, logIndex, salt, terms: frozen, amendments },
    runs: [{ number, run, digest, logIndex: place, receivedAt }],
    facilityRecord: 'issued',
    unpublishedPlans: 1,
    attempt: { number: 2, of: 3 },
  }
}

/** What the plans of a publisher for a product came to. */
export function fullPlanCounters(): Draft {
  return {
    publisher: 'Workshop of the fixture',
    product: 'Silencer of the fixture',
    opened: 4,
    done: 2,
    published: 1,
    abandoned: 1,
    withdrawn: 1,
  }
}
