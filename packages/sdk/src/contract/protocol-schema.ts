/** A protocol. Members that a later version adds are ignored. */
import * as z from 'zod/mini'
import { severitySchema } from './finding-schema.ts'
import { documentedBy, named } from './schema-parts.ts'

/** The limits of a check. */
export const gradedLimitSchema = named(
  'GradedLimit',
  z.object({ met: z.number(), marginal: z.number(), unit: z.string() }),
)

/** When a finding leaves every claim undecided. */
export const checkEffectSchema = named(
  'CheckEffect',
  z.object({ on: z.array(z.literal(['marginal', 'breached'])), onlyWhenOneSideFirst: z.boolean() }),
)

/** One check as protocol data. */
export const protocolCheckSchema = named(
  'ProtocolCheck',
  z.object({
    check: z.string(),
    compares: z.string(),
    severity: severitySchema,
    limits: z.record(z.string(), gradedLimitSchema),
    basis: z.string(),
    effect: z.nullable(checkEffectSchema),
    sharesGain: z.nullable(z.string()),
  }),
)

/** Values that stand in for a facility record. */
export const assumedValuesSchema = named(
  'AssumedValues',
  z.object({ repeatability: z.number(), localNoise: z.number(), remounting: z.number(), day: z.number() }),
)

/** A versioned, immutable set of checks. */
export const protocolSchema = named(
  'Protocol',
  z.object({
    id: z.string(),
    title: z.string(),
    assumed: documentedBy(
      'Protocol.assumed',
      z.object({ typical: assumedValuesSchema, cautious: assumedValuesSchema }),
    ),
    checks: z.array(protocolCheckSchema),
  }),
)
