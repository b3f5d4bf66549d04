/** The result. Members that a later version adds are ignored, so that an old reader can still read a newer summary. */
import * as z from 'zod/mini'
import { gainUnitSchema, judgedRangeSchema } from './claim-schema.ts'
import {
  attributionSchema,
  findingSchema,
  inputDigestsSchema,
  judgementSchema,
  protocolReferenceSchema,
  standingSchema,
} from './finding-schema.ts'
import { alternativeSchema, budgetTermSchema, gainsSchema, intervalSchema } from './gain-schema.ts'
import { planReportSchema } from './plan-schema.ts'
import { sideSchema } from './run-schema.ts'
import { named } from './schema-parts.ts'

const texts = z.array(z.string())

/** A judgement that rests on values nobody measured at this facility. */
export const conditionalJudgementSchema = named(
  'ConditionalJudgement',
  z.object({
    on: z.enum(['typical', 'cautious', 'network']),
    judgement: judgementSchema,
    sentence: z.string(),
    interval: intervalSchema,
  }),
)

/** An extreme of the gain curve. */
export const extremeGainSchema = named('ExtremeGain', z.object({ value: z.number(), at_rpm: z.number() }))

/** The judgement of one claim. */
export const claimJudgementSchema = named(
  'ClaimJudgement',
  z.object({
    claim: z.string(),
    statement: z.string(),
    judgement: judgementSchema,
    sentence: z.string(),
    reason: z.nullable(z.string()),
    unit: gainUnitSchema,
    over: judgedRangeSchema,
    interval: intervalSchema,
    asMounted: z.nullable(intervalSchema),
    supportP: z.number(),
    contradictionP: z.number(),
    conditional: z.nullable(conditionalJudgementSchema),
    smallest: z.nullable(extremeGainSchema),
    largest: z.nullable(extremeGainSchema),
    scope: texts,
    bandMean: z.nullable(intervalSchema),
  }),
)

/** One thing to do next. */
export const nextStepSchema = named(
  'NextStep',
  z.object({
    cost: z.enum(['records', 'minutes-on-the-rollers', 'hours-on-the-rollers', 'ask-the-publisher']),
    sentence: z.string(),
    settles: texts,
  }),
)

/** A safety caution. */
export const cautionSchema = named(
  'Caution',
  z.object({
    about: z.enum([
      'lean-mixture',
      'tyre',
      'straps',
      'fuel-supply',
      'overheating',
      'rotating-parts',
      'exhaust-gas',
      'noise',
      'road-use',
    ]),
    sentence: z.string(),
  }),
)

/** A run left out. */
export const excludedRunSchema = named(
  'ExcludedRun',
  z.object({
    run: z.string(),
    rule: z.enum(['fuelling', 'slip', 'trace', 'operator', 'other', 'duplicate']),
    reason: z.string(),
  }),
)

/** A run that was not for measuring. */
export const notMeasuredRunSchema = named(
  'NotMeasuredRun',
  z.object({ run: z.string(), purpose: z.enum(['conditioning', 'tuning', 'aborted', 'diagnosis']) }),
)

/** Where the power of a run came from. */
export const powerSourceSchema = z.enum(['wheel-power', 'torque', 'axle-torque', 'roller-speed', 'none'])

/** What was cut from one run's recording, and why. */
export const traceReadingSchema = named(
  'TraceReading',
  z.object({
    run: z.string(),
    recorded: z.number(),
    used: z.number(),
    beforeSweep: z.number(),
    afterSweep: z.number(),
    spikes: z.number(),
    repeatedTimes: z.number(),
    from_rpm: z.number(),
    to_rpm: z.number(),
    rollerLag_s: z.nullable(z.number()),
    powerFrom: powerSourceSchema,
    coastDownLoss: z.boolean(),
  }),
)

/** What became of every run. */
export const accountingSchema = named(
  'Accounting',
  z.object({
    recorded: z.number(),
    used: texts,
    excluded: z.array(excludedRunSchema),
    notMeasured: z.array(notMeasuredRunSchema),
    unlisted: z.number(),
    unaccounted: z.array(z.number()),
    perSide: z.record(sideSchema, z.number()),
    traces: z.array(traceReadingSchema),
  }),
)

/** Something beside the part that could account for a published difference. */
export const otherCauseSchema = named(
  'OtherCause',
  z.object({
    cause: z.enum([
      'another-correction',
      'smoothing',
      're-strapping',
      'day',
      'best-of-several',
      'tyre-pressure',
      'printed-digit',
    ]),
    size_percent: z.number(),
    sentence: z.string(),
    basis: z.string(),
    isEnough: z.boolean(),
  }),
)

/** Something of the analysis that a reader must know. */
export const flagSchema = named(
  'Flag',
  z.object({
    flag: z.enum([
      'order_unknown',
      'ambient_not_evidenced',
      'drift_detected',
      'noisier_than_facility',
      'zero_variance',
      'mounting_scatter_above_declared',
      'mounting_dof_1',
      'mounting_component_unknown',
      'between_day_component_unknown',
      'sides_unequal',
      'mount_gap_longer_than_record',
      'record_counts_as_declared',
    ]),
    sentence: z.string(),
  }),
)

/** The assessment of one comparison. */
export const resultSchema = named(
  'Result',
  z.object({
    method: z.string(),
    protocol: protocolReferenceSchema,
    inputs: inputDigestsSchema,
    standing: standingSchema,
    scope: texts,
    score: z.number(),
    verdict: z.string(),
    findings: z.array(findingSchema),
    attribution: attributionSchema,
    gains: gainsSchema,
    alternatives: z.array(alternativeSchema),
    budget: z.array(budgetTermSchema),
    flags: z.exactOptional(z.array(flagSchema)),
    claims: z.array(claimJudgementSchema),
    nextSteps: z.array(nextStepSchema),
    cautions: z.array(cautionSchema),
    accounting: accountingSchema,
    limits: texts,
    otherCauses: z.exactOptional(z.array(otherCauseSchema)),
    plan: z.exactOptional(planReportSchema),
  }),
)
