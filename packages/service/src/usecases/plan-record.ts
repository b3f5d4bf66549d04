/** A stored plan as its owner, and a comparison made under it, see it. */
import type {
  LoggedRun,
  Plan,
  PlanAmendment,
  PlanRecord,
  RegisteredPlan,
  Registration,
  RunReceipt,
} from '@fairpull/sdk/contract'
import { registrationOf } from '@fairpull/sdk/engine'
import type { PlanRunEntry, StoredPlan, StoredPlanVersion } from '../plan-ports.ts'

/** A run with its receipt. */
export type Acknowledged<R extends PlanRunEntry = PlanRunEntry> = R & {
  readonly acknowledged: NonNullable<PlanRunEntry['acknowledged']>
}

/** Whether a run is logged, and not only numbered. */
export function isAcknowledged<R extends PlanRunEntry>(run: R): run is Acknowledged<R> {
  return run.acknowledged !== null
}

/** The terms in the present version. */
export function termsOf({ versions }: Pick<StoredPlan, 'versions'>): Plan {
  return JSON.parse(new TextDecoder().decode(lastOf(versions).terms))
}

/** The last of the versions. @throws TypeError when there is none; a defect. */
export function lastOf(versions: readonly StoredPlanVersion[]): StoredPlanVersion {
  const last = versions.at(-1)
  if (last === undefined) throw new TypeError('a plan has at least one version')
  return last
}

/** Index of the first version in the log. */
export function logIndexOf({ versions }: Pick<StoredPlan, 'versions'>): number {
  return versions[0]?.logIndex ?? lastOf(versions).logIndex
}

function amendmentsOf({ versions }: Pick<StoredPlan, 'versions'>): readonly PlanAmendment[] {
  return versions.slice(1).map(({ version, at, reason, logIndex, afterFirstRun }) => ({
    version,
    at: at.toISOString(),
    reason: reason ?? '',
    logIndex,
    afterFirstRun,
  }))
}

/** What a comparison carries of its plan, but for what the register knows beside it. */
export type RecordedPlan = Omit<RegisteredPlan, 'facilityRecord' | 'unpublishedPlans' | 'attempt'>

/** The plan with its logged runs. */
export function recordedPlan(plan: StoredPlan, runs: readonly Acknowledged[]): RecordedPlan {
  return {
    id: plan.id,
    registeredAt: plan.createdAt.toISOString(),
    logIndex: logIndexOf(plan),
    salt: plan.salt,
    terms: termsOf(plan),
    amendments: amendmentsOf(plan),
    runs: runs.map(({ number, run, digest, receivedAt, acknowledged }) => ({
      number,
      run,
      digest,
      logIndex: acknowledged.logIndex,
      receivedAt: receivedAt.toISOString(),
    })),
  }
}

/** What the registration is worth; before the first run, what it will be worth. */
function registrationSoFar(plan: StoredPlan, runs: readonly Acknowledged[]): Registration {
  if (runs.length === 0) return plan.status === 'open' ? 'pre-registered' : 'none'
  return registrationOf({
    ...recordedPlan(plan, runs),
    facilityRecord: 'none',
    unpublishedPlans: 0,
    attempt: { number: 1, of: 1 },
  })
}

/** The payload of a run's receipt. */
export function receiptOf(
  plan: Pick<StoredPlan, 'id'>,
  run: PlanRunEntry,
  { issuer, logIndex }: Pick<RunReceipt, 'issuer' | 'logIndex'>,
): RunReceipt {
  return {
    issuer,
    plan: plan.id,
    number: run.number,
    run: run.run,
    digest: run.digest,
    mounting: run.mounting?.digest ?? null,
    logIndex,
    receivedAt: run.receivedAt.toISOString(),
  }
}

/** A run as answered. */
export function loggedRun(plan: Pick<StoredPlan, 'id'>, run: Acknowledged, issuer: string): LoggedRun {
  const { number, excludedBy, acknowledged } = run
  const payload = receiptOf(plan, run, { issuer, logIndex: acknowledged.logIndex })
  return { number, run: run.run, receipt: acknowledged.receipt, payload, excludedBy }
}

/** Measured runs still to be made. */
export function remainingOf({ planned, counted, status }: StoredPlan): number {
  return status === 'open' || status === 'running' ? Math.max(0, planned - counted) : 0
}

/** A plan as its owner reads it. */
export function planRecord(plan: StoredPlan, runs: readonly PlanRunEntry[], issuer: string): PlanRecord {
  const logged = runs.filter(isAcknowledged)
  return {
    id: plan.id,
    status: plan.status,
    registration: registrationSoFar(plan, logged),
    registeredAt: plan.createdAt.toISOString(),
    publisher: plan.publisher,
    logIndex: logIndexOf(plan),
    salt: plan.salt,
    challenge: plan.challenge,
    terms: termsOf(plan),
    amendments: amendmentsOf(plan),
    planned: plan.planned,
    remaining: remainingOf(plan),
    runs: logged.map((run) => loggedRun(plan, run, issuer)),
    assessment: plan.assessment,
  }
}
