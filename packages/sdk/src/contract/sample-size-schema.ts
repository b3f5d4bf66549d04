/** Sizes of a comparison to come: the shape of the question, and that of the answer. */
import * as z from 'zod/mini'
import { facilityRecordSchema, recordStatusSchema } from './facility-schema.ts'
import { aboveZero, label, named, number, positive } from './schema-parts.ts'
import { swapSchema } from './vehicle-schema.ts'

/** A relative gain, or a difference of two. */
export const relativeGainSchema = named(
  'RelativeGain',
  z.strictObject({ value: number.check(z.gt(-100), z.lte(1000)), unit: z.literal('%') }),
)

/** A difference of two relative gains that is there. */
const relativeGainAboveZero = named(
  'RelativeGainAboveZero',
  z.strictObject({ value: positive.check(z.lte(1000)), unit: z.literal('%') }),
  'RelativeGain',
)

/** An interval that is narrow enough. */
export const halfWidthTargetSchema = named(
  'HalfWidthTarget',
  z.strictObject({ kind: z.literal('half-width'), halfWidth: relativeGainAboveZero }),
)

/** A claim that is likely to be supported. */
export const supportTargetSchema = named(
  'SupportTarget',
  z.strictObject({
    kind: z.literal('claim'),
    atLeast: relativeGainSchema,
    slack: relativeGainAboveZero,
    chance: z.exactOptional(number.check(z.gte(0.5), z.lte(0.99))),
  }),
)

/** What a comparison is to show. */
export const sampleSizeTargetSchema = named(
  'SampleSizeTarget',
  z.discriminatedUnion('kind', [halfWidthTargetSchema, supportTargetSchema]),
)

/** What a comparison is to show, and how well the facility repeats. */
export const sampleSizeRequestSchema = named(
  'SampleSizeRequest',
  z.strictObject({
    protocol: label,
    target: sampleSizeTargetSchema,
    record: z.exactOptional(facilityRecordSchema),
    swap: z.exactOptional(swapSchema),
    bandWidth: z.exactOptional(aboveZero.rotationalSpeed),
  }),
)

/** One way to make the runs, and what it would show. */
export const advisedDesignSchema = named(
  'AdvisedDesign',
  z.object({
    layout: z.enum(['interleaved', 'strapped-again']),
    mountings: z.number(),
    runsPerMounting: z.number(),
    runs: z.number(),
    standardUncertainty: z.number(),
    degreesOfFreedom: z.number(),
    halfWidth: z.number(),
    slack: z.number(),
    isEnough: z.boolean(),
    sentence: z.string(),
  }),
)

/** One figure of the planning. */
export const plannedFigureSchema = named(
  'PlannedFigure',
  z.object({
    term: z.enum(['repeatability', 're-mounting', 'drift', 'local-noise']),
    relativeSd: z.number(),
    degreesOfFreedom: z.number(),
    status: recordStatusSchema,
    sentence: z.string(),
  }),
)

/** Designs that reach the target, in the order in which they are advised. */
export const sampleSizeReportSchema = named(
  'SampleSizeReport',
  z.object({
    protocol: z.string(),
    verdict: z.string(),
    designs: z.array(advisedDesignSchema),
    figures: z.array(plannedFigureSchema),
    limits: z.array(z.string()),
  }),
)
