/** Plans, and what a comparison made under one carries of it. */
import * as z from 'zod/mini'
import { claimSchema } from './claim-schema.ts'
import { facilitySchema } from './facility-schema.ts'
import { correctionSchema, sideSchema } from './run-schema.ts'
import { identity, label, list, named, reason, sha256, utcTime, whole } from './schema-parts.ts'
import { changeSchema, driveTyreSchema, vehicleSchema } from './vehicle-schema.ts'

/** Most mountings of one plan. */
const MOST_MOUNTINGS = 50

/** A rule that looks at one run alone. */
export const planRuleNameSchema = z.enum(['trace', 'slip', 'fuelling'])

/** Consecutive measured runs of one side in one mounting. */
export const plannedBlockSchema = named(
  'PlannedBlock',
  z.strictObject({ mounting: identity, side: sideSchema, runs: whole(1, 100) }),
)

/** An interleaved order to be drawn. */
export const orderDrawSchema = named(
  'OrderDraw',
  z.strictObject({
    seed: whole(0, 2 ** 32 - 1),
    pairs: whole(1, 50),
    mountings: list(identity, MOST_MOUNTINGS).check(z.minLength(1)),
  }),
)

const terms = {
  product: label,
  protocol: label,
  reportIn: z.exactOptional(correctionSchema),
  facility: facilitySchema,
  vehicle: vehicleSchema,
  driveTyres: z.exactOptional(list(driveTyreSchema, 100)),
  changes: list(changeSchema, 100).check(z.minLength(1)),
  conditioningRuns: whole(0, 20),
  primary: claimSchema,
  further: z.exactOptional(list(claimSchema, 99)),
  exclusionRules: list(planRuleNameSchema, 3),
}

const blocks = list(plannedBlockSchema, 200).check(z.minLength(1))

/** A plan as it is sent: its shape. `readPlan` also checks that it makes sense. */
export const planRequestSchema = named(
  'PlanRequest',
  z.strictObject({ ...terms, blocks: z.exactOptional(blocks), draw: z.exactOptional(orderDrawSchema) }),
)

/** A plan as it is frozen. */
export const planSchema = named('Plan', z.strictObject({ ...terms, blocks, draw: z.exactOptional(orderDrawSchema) }))

/** `sha256:` and lower-case hex. */
const digest = z.string().check(z.regex(/^sha256:[0-9a-f]{64}$/u))

/** A later version of a plan. */
export const planAmendmentSchema = named(
  'PlanAmendment',
  z.strictObject({ version: whole(2), at: utcTime, reason, logIndex: whole(0), afterFirstRun: z.boolean() }),
)

/** What the record says of one logged run. */
export const plannedRunSchema = named(
  'PlannedRun',
  z.strictObject({ number: whole(1), run: identity, digest, logIndex: whole(0), receivedAt: utcTime }),
)

/** Which of several plans for one product and machine this is. */
export const planAttemptSchema = named('PlanAttempt', z.strictObject({ number: whole(1), of: whole(1) }))

/** A plan with what the register knows of it. */
export const registeredPlanSchema = named(
  'RegisteredPlan',
  z.strictObject({
    id: identity,
    registeredAt: utcTime,
    logIndex: whole(0),
    salt: sha256,
    terms: planSchema,
    amendments: list(planAmendmentSchema, 1000),
    runs: list(plannedRunSchema, 1000),
    facilityRecord: z.enum(['issued', 'uploaded', 'none']),
    unpublishedPlans: whole(0),
    attempt: planAttemptSchema,
  }),
)

/** Whether a comparison was registered before its first run. */
export const registrationSchema = z.enum(['pre-registered', 'amended', 'none'])

/** One rule of the plan discipline. */
export const planRuleReportSchema = named(
  'PlanRuleReport',
  z.object({
    rule: z.enum([
      'every-run-counted',
      'runs-as-planned',
      'registered-claims',
      'one-session',
      'warm-or-matched',
      'record-issued',
      'unpublished-plans',
      'exclusions-by-rule',
    ]),
    kept: z.boolean(),
    sentence: z.string(),
  }),
)

/** What became of the plan. */
export const planReportSchema = named(
  'PlanReport',
  z.object({
    id: z.string(),
    product: z.string(),
    registration: registrationSchema,
    level: z.number(),
    attempt: named('ReportedAttempt', z.object({ number: z.number(), of: z.number() }), 'PlanAttempt'),
    rules: z.array(planRuleReportSchema),
    sentence: z.string(),
  }),
)
