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

/** A fresh register. @param isChecked whether its answers are held against the OpenAPI document */
export async function createBench(isChecked: boolean): Promise<Bench> {
  const register = await createRegister(records, isChecked)
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

/** How a plan ended. */
export interface Ending {
  /** Whether any claim is supported, pre-registered. */
  readonly isSupported: boolean
  /** Rules of the plan that were broken. */
  readonly broken: readonly string[]
}

/** How a plan ends. */
export async function endingOf(
  { register }: Vendor,
  plan: PlanRecord,
  exploratory: readonly Claim[] = [],
): Promise<Ending> {
  const summary = await assessed(register, plan.id, exploratory)
  if (summary === undefined) throw new Error('the plan was not assessed')
  const { issue, result } = summary.payload
  return {
    isSupported:
      issue.registration === 'pre-registered' && result.claims.some(({ judgement }) => judgement === 'supported'),
    broken: result.plan?.rules.flatMap(({ rule, kept }) => (kept ? [] : rule)) ?? [],
  }
}

/** Registers, hands everything in, and tells how it ends. */
export async function played(vendor: Vendor, handedIn: HandedIn): Promise<Ending> {
  const plan = await registerPlan(vendor, handedIn)
  await sendAll(vendor, plan, handedIn.comparison)
  return endingOf(vendor, plan, handedIn.exploratory)
}

/** What the vendor sees at home, without any register. */
export async function seenAtHome(comparison: Comparison): Promise<Result> {
  return assess(comparison)
}
