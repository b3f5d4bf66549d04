/** A plan: a comparison registered before its first run, and what its record says. */
import type { Claim } from './claim.ts'
import type { CorrectionId } from './corrections.ts'
import type { Facility } from './facility.ts'
import type { Side } from './run.ts'
import type { Change, DriveTyre, Vehicle } from './vehicle.ts'

/** What a plan freezes, apart from the order of its runs. */
export interface PlanTerms {
  /** What is tested, by the name it is sold or known under. Plans for one product are counted together. */
  readonly product: string
  /** Protocol to judge by, with its version. */
  readonly protocol: string
  /** Correction of the figures that are judged. Absent: `un-r85`. */
  readonly reportIn?: CorrectionId
  /** The place of measurement. Its record counts only if it was issued by this register. */
  readonly facility: Facility
  /** The machine all runs are made with. */
  readonly vehicle: Vehicle
  /** The drive tyres. */
  readonly driveTyres?: readonly DriveTyre[]
  /** Every difference between the sides; at least one is under test. */
  readonly changes: readonly Change[]
  /** Conditioning runs at the start of each mounting; at least 3 where all runs of one side come first. [1], 0 to 20 */
  readonly conditioningRuns: number
  /** The one claim the plan is made for. */
  readonly primary: Claim
  /** Further claims; each costs the others some of the level. */
  readonly further?: readonly Claim[]
  /** Rules under which a run is left out, each judged on that run alone. */
  readonly exclusionRules: readonly PlanRuleName[]
}

/** A rule that looks at one run alone: a trace that cannot be read, a slipping tyre, a lean top end. */
export type PlanRuleName = 'trace' | 'slip' | 'fuelling'

/** A plan as it is sent: its order either written out, or to be drawn. Exactly one of `blocks` and `draw`. */
export interface PlanRequest extends PlanTerms {
  /** The measured runs, block by block, in the order they are to be made. */
  readonly blocks?: readonly PlannedBlock[]
  /** An interleaved order to be drawn from a seed. */
  readonly draw?: OrderDraw
}

/** A plan as it is frozen. */
export interface Plan extends PlanTerms {
  /** The measured runs, block by block, in the order they are to be made. */
  readonly blocks: readonly PlannedBlock[]
  /** What the order was drawn from; absent when it was written out. Anybody can draw it again. */
  readonly draw?: OrderDraw
}

/** Consecutive measured runs of one side in one mounting. */
export interface PlannedBlock {
  /** Id of the mounting. */
  readonly mounting: string
  /** Side of the runs. */
  readonly side: Side
  /** How many measured runs. [1], 1 to 100 */
  readonly runs: number
}

/** An interleaved order: in each mounting so many pairs of one run a side, the first side of each pair drawn by lot. */
export interface OrderDraw {
  /** Seed of the lot. [1], whole, 0 to 4294967295 */
  readonly seed: number
  /** Pairs in each mounting. [1], 1 to 50 */
  readonly pairs: number
  /** Ids of the mountings, in the order they are made. */
  readonly mountings: readonly string[]
}

/** A later version of a plan. */
export interface PlanAmendment {
  /** Number of the version; the first is 1. [1], whole, from 2 */
  readonly version: number
  /** When it was logged, RFC 3339 in UTC. */
  readonly at: string
  /** Why, in a sentence. */
  readonly reason: string
  /** Index of its commitment in the log. */
  readonly logIndex: number
  /** Whether a run had been logged before; the plan then no longer counts as pre-registered. */
  readonly afterFirstRun: boolean
}

/** What the record says of one logged run. */
export interface PlannedRun {
  /** Number under the plan, without gaps from 1. */
  readonly number: number
  /** Id of the run. */
  readonly run: string
  /** Digest of the run. */
  readonly digest: string
  /** Index of its entry in the log. */
  readonly logIndex: number
  /** When it arrived, RFC 3339 in UTC. */
  readonly receivedAt: string
}

/** Which of several plans for one product and machine this is. */
export interface PlanAttempt {
  /** Its place among them, in the order of registration. [1], from 1 */
  readonly number: number
  /** How many there are; those withdrawn before their first run are not counted. [1] */
  readonly of: number
}

/** A plan with what the register knows of it: all that a judgement under the plan needs. Written by the register only. */
export interface RegisteredPlan {
  /** Identity of the plan, UUID version 7. */
  readonly id: string
  /** When it was registered, RFC 3339 in UTC. */
  readonly registeredAt: string
  /** Index of the commitment to its first version in the log. */
  readonly logIndex: number
  /** Secret behind the commitments, 64 hex digits; shows that the log entries speak of this plan. */
  readonly salt: string
  /** The terms in the version that is judged. */
  readonly terms: Plan
  /** Later versions; empty when it was never amended. */
  readonly amendments: readonly PlanAmendment[]
  /** Every logged run, in the order of the numbers. */
  readonly runs: readonly PlannedRun[]
  /** Whether the facility's record was issued by the register, came with the plan, or is absent. */
  readonly facilityRecord: 'issued' | 'uploaded' | 'none'
  /** Other plans for the same product and primary quantity that had their first run and are unpublished. [1] */
  readonly unpublishedPlans: number
  /** Which of several plans for this product and machine it is. */
  readonly attempt: PlanAttempt
}

/** Whether a comparison was registered before its first run. */
export type Registration = 'pre-registered' | 'amended' | 'none'

/** What became of the plan: part of the result of a comparison made under one. */
export interface PlanReport {
  /** Identity of the plan. */
  readonly id: string
  /** Product as registered. */
  readonly product: string
  /** Whether it was registered before its first run. */
  readonly registration: Registration
  /** One-sided level of the judgements: 0.025 divided by 1 + the unpublished plans for the product. [1] */
  readonly level: number
  /** Which of several plans for this product and machine it is. */
  readonly attempt: PlanAttempt
  /** The rules of the plan discipline, kept or not. */
  readonly rules: readonly PlanRuleReport[]
  /** What that amounts to, in a few plain sentences. */
  readonly sentence: string
}

/** One rule of the plan discipline. */
export interface PlanRuleReport {
  /** The rule. */
  readonly rule:
    | 'every-run-counted'
    | 'runs-as-planned'
    | 'registered-claims'
    | 'one-session'
    | 'warm-or-matched'
    | 'record-issued'
    | 'unpublished-plans'
    | 'exclusions-by-rule'
  /** Whether it was kept. */
  readonly kept: boolean
  /** What was seen, in one sentence. */
  readonly sentence: string
}
