/** What was judged, and what each check found. */
import * as z from 'zod/mini'
import { named } from './schema-parts.ts'

const texts = z.array(z.string())

/** Whether the comparison holds. */
export const standingSchema = z.enum(['valid', 'limited', 'invalid'])

/** What the data say of a claim. */
export const judgementSchema = z.enum(['supported', 'contradicted', 'undecided', 'not-assessable'])

/** What a check found. */
export const findingStatusSchema = z.enum(['met', 'marginal', 'breached', 'not-evidenced', 'not-applicable'])

/** How much a check weighs. */
export const severitySchema = z.enum(['gate', 'scope', 'run-level', 'note'])

/** A digest as it stands in a result: its algorithm, a colon, lower-case hex. */
export const digestSchema = z.string().check(z.regex(/^sha256:[0-9a-f]{64}$/u))

/** A protocol and the digest of its data. */
export const protocolReferenceSchema = named('ProtocolReference', z.object({ id: z.string(), digest: digestSchema }))

/** The digest of one run. */
export const runDigestSchema = named('RunDigest', z.object({ run: z.string(), digest: digestSchema }))

/** Digests that tie the result to its data. */
export const inputDigestsSchema = named(
  'InputDigests',
  z.object({ comparison: digestSchema, runs: z.array(runDigestSchema) }),
)

const observation = z.union([z.number(), z.string(), z.null()])

/** The finding of one check. */
export const findingSchema = named(
  'Finding',
  z.object({
    check: z.string(),
    status: findingStatusSchema,
    severity: severitySchema,
    observed: observation,
    limit: observation,
    unit: z.string(),
    runs: texts,
    sentence: z.string(),
    remedy: z.string(),
    evidence: z.nullable(z.enum(['from-records', 'repeat'])),
    basis: z.string(),
  }),
)

/** Which changes the gain belongs to. */
export const attributionSchema = named(
  'Attribution',
  z.object({ underTest: texts, alsoChanged: texts, sentence: z.string() }),
)
