/** The record of a plan and the receipts of its runs. Members that a later version adds are ignored. */
import * as z from 'zod/mini'
import { planAmendmentSchema, planRuleNameSchema, planSchema, registrationSchema } from './plan-schema.ts'
import { named, utcTime } from './schema-parts.ts'

/** The signed payload of a receipt. */
export const runReceiptSchema = named(
  'RunReceipt',
  z.object({
    issuer: z.string(),
    plan: z.string(),
    number: z.number(),
    run: z.string(),
    digest: z.string(),
    mounting: z.nullable(z.string()),
    logIndex: z.number(),
    receivedAt: utcTime,
  }),
)

/** Where a plan stands. */
export const planStatusSchema = z.enum(['open', 'running', 'closed', 'assessed', 'abandoned', 'withdrawn'])

const loggedRun = {
  number: z.number(),
  run: z.string(),
  receipt: z.string(),
  payload: runReceiptSchema,
  excludedBy: z.nullable(planRuleNameSchema),
}

/** One run of a plan, as logged. */
export const loggedRunSchema = named('LoggedRun', z.object(loggedRun))

/** Answer to a logged run. */
export const runLoggedSchema = named(
  'RunLogged',
  z.object({ ...loggedRun, status: planStatusSchema, remaining: z.number() }),
)

/** A plan as its owner reads it. */
export const planRecordSchema = named(
  'PlanRecord',
  z.object({
    id: z.string(),
    status: planStatusSchema,
    registration: registrationSchema,
    registeredAt: utcTime,
    publisher: z.string(),
    logIndex: z.number(),
    salt: z.string(),
    challenge: z.string(),
    terms: planSchema,
    amendments: z.array(planAmendmentSchema),
    planned: z.number(),
    remaining: z.number(),
    runs: z.array(loggedRunSchema),
    assessment: z.nullable(z.string()),
  }),
)

/** What a publisher's plans for a product came to. */
export const planCountersSchema = named(
  'PlanCounters',
  z.object({
    publisher: z.string(),
    product: z.string(),
    opened: z.number(),
    done: z.number(),
    published: z.number(),
    abandoned: z.number(),
    withdrawn: z.number(),
  }),
)
