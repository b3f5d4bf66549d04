/** A vendor with a product that does nothing, at the register. */
import type { Claim, Comparison, PlanRecord, PlanRequest, Result } from '@fairpull/sdk/contract'
import { assess } from '@fairpull/sdk/engine'
import { ordinaryPace, type SessionRecipe, type SimulatedSession } from '@fairpull/sdk/testing'
import { nullSession } from '../../calibration/cheating/null-product.ts'
import { assessed, createRegister, planFor, type Register, registered, sendRuns } from '../support/play.ts'

/** One product of one vendor. */
export interface Vendor {
  /** Seed of everything that happens. */
  readonly seed: number
  readonly register: Register
  /** Name the product is registered under. */
  readonly product: string
}

/** A register whose studies are those of the sessions that are played at it. */
export interface Bench {
  /** The vendor of a product. */
  readonly vendor: (seed: number) => Vendor
}

const records: Record<string, NonNullable<NonNullable<Comparison['facility']>['record']>> = {}

/** A fresh register. */
export async function createBench(): Promise<Bench> {
  const register = await createRegister(records)
  return { vendor: (seed) => ({ seed, register, product: `part ${seed}` }) }
}

/** A session with a product that does nothing, warmed up as a plan asks where one side comes first. */
export function plannedSession(seed: number, recipe: Partial<SessionRecipe> = {}): SimulatedSession {
  return nullSession(seed, { pace: { ...ordinaryPace, conditioningRuns: 3 }, ...recipe })
}

/** The comparison with a facility record that the register issued: the honest one of another session. */
export function withIssuedRecord(comparison: Comparison, honest: Comparison, study: string): Comparison {
  const record = honest.facility?.record
  const { facility } = comparison
  if (record === undefined || facility === undefined) throw new TypeError('a session without a record')
  const issued = { ...record, study }
  records[study] = issued
  return { ...comparison, facility: { ...facility, record: issued } }
}

/** What a vendor hands in under a plan. */
export interface HandedIn {
  readonly comparison: Comparison
  /** Terms other than those that fit the runs. */
  readonly plan?: Partial<PlanRequest>
  /** Claims made afterwards. */
  readonly exploratory?: readonly Claim[]
  /** When the plan is registered; ten minutes before the first run when absent. [ms since 1970] */
  readonly registeredAt_ms?: number
}

const TEN_MINUTES_MS = 600_000

/** A plan, registered. */
export async function registerPlan(
  { register, product }: Vendor,
  { comparison, plan, registeredAt_ms }: HandedIn,
): Promise<PlanRecord> {
  const starts = comparison.runs.map(({ startedAt }) => Date.parse(startedAt ?? ''))
  register.setTime(registeredAt_ms ?? Math.min(...starts) - TEN_MINUTES_MS)
  return registered(register, planFor(comparison, { product, ...plan }))
}

/** Runs of a plan, handed in. */
export async function sendAll({ register }: Vendor, plan: PlanRecord, comparison: Comparison): Promise<void> {
  await sendRuns(register, plan, comparison)
}

/** Whether any claim of a plan ends as supported, pre-registered. */
export async function isSupported(
  { register }: Vendor,
  plan: PlanRecord,
  exploratory: readonly Claim[] = [],
): Promise<boolean> {
  const summary = await assessed(register, plan.id, exploratory)
  if (summary === undefined) return false
  const { issue, result } = summary.payload
  return issue.registration === 'pre-registered' && result.claims.some(({ judgement }) => judgement === 'supported')
}

/** Registers, hands everything in, and tells whether a claim ends as supported, pre-registered. */
export async function played(vendor: Vendor, handedIn: HandedIn): Promise<boolean> {
  const plan = await registerPlan(vendor, handedIn)
  await sendAll(vendor, plan, handedIn.comparison)
  return isSupported(vendor, plan, handedIn.exploratory)
}

/** What the vendor sees at home, without any register. */
export async function seenAtHome(comparison: Comparison): Promise<Result> {
  return assess(comparison)
}
