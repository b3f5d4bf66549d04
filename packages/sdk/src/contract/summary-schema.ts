/** The signed summary and what surrounds it. Members that a later version adds are ignored. */
import * as z from 'zod/mini'
import { registrationSchema } from './plan-schema.ts'
import { resultSchema } from './result-schema.ts'
import { named, utcTime } from './schema-parts.ts'

/** Who issued a summary, for whom, and when. */
export const issueSchema = named(
  'Issue',
  z.object({
    id: z.string(),
    issuer: z.string(),
    submitter: z.string(),
    issuedAt: utcTime,
    supersedes: z.nullable(z.string()),
    registration: registrationSchema,
    receipts: z.array(z.string()),
  }),
)

/** The signed payload. */
export const summaryPayloadSchema = named('SummaryPayload', z.object({ issue: issueSchema, result: resultSchema }))

/** Proof that an entry stands in the log. */
export const logReceiptSchema = named(
  'LogReceipt',
  z.object({
    index: z.int().check(z.nonnegative()),
    checkpoint: z.string(),
    proof: z.array(z.string().check(z.regex(/^[A-Za-z0-9+/]{43}=$/u))),
  }),
)

/** Answer to a submitted comparison. */
export const issuedSummarySchema = named(
  'IssuedSummary',
  z.object({
    id: z.string(),
    summary: z.string().check(z.regex(/^[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+$/u)),
    payload: summaryPayloadSchema,
    log: z.exactOptional(logReceiptSchema),
  }),
)

/** Answer to a dry run. */
export const dryRunSchema = named('DryRun', z.object({ dryRun: z.literal(true), result: resultSchema }))
