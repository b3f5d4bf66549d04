/** The gain, its intervals and its uncertainty budget. */
import * as z from 'zod/mini'
import { correctionIds } from './corrections.ts'
import { recordStatusSchema } from './facility-schema.ts'
import { named } from './schema-parts.ts'

const numbers = z.array(z.number())
const maybe = z.nullable(z.number())
const coverage = z.enum(['reproducible', 'as-mounted', 'none'])

/** An estimate with its 95 % interval. */
export const intervalSchema = named(
  'Interval',
  z.object({
    estimate: maybe,
    low: maybe,
    high: maybe,
    standardUncertainty: maybe,
    coverageFactor: maybe,
    degreesOfFreedom: maybe,
    rule: z.nullable(z.enum(['welch-satterthwaite', 'howe'])),
    scope: coverage,
    twoDriftModels: z.boolean(),
  }),
)

/** An interval that rests on values nobody measured at this facility. */
export const conditionalIntervalSchema = named(
  'ConditionalInterval',
  z.object({
    on: z.enum(['typical', 'cautious', 'network']),
    filled: z.array(z.string()),
    relative: intervalSchema,
  }),
)

/** Of what a gain speaks. */
export const gainSubjectSchema = named(
  'GainSubject',
  z.object({
    quantity: z.enum(['wheel-power', 'wheel-torque']),
    kind: z.enum(['band-mean', 'peak', 'at-speed']),
    from_rpm: maybe,
    to_rpm: maybe,
  }),
)

/** One gain with its interval. */
export const gainSchema = named(
  'Gain',
  z.object({
    of: gainSubjectSchema,
    baseline: maybe,
    modified: maybe,
    unit: z.enum(['kW', 'N m']),
    absolute: intervalSchema,
    relative: intervalSchema,
    asMounted: z.nullable(intervalSchema),
    conditional: z.nullable(conditionalIntervalSchema),
  }),
)

/** Lower and upper curve. */
export const curveBandSchema = named('CurveBand', z.object({ low: numbers, high: numbers }))

/** A range of engine speeds with a gain or a loss beyond doubt. */
export const significantRangeSchema = named(
  'SignificantRange',
  z.object({ kind: z.enum(['gain', 'loss']), from_rpm: z.number(), to_rpm: z.number() }),
)

/** The gain over engine speed. */
export const gainCurveSchema = named(
  'GainCurve',
  z.object({
    engineSpeed_rpm: numbers,
    baseline_kW: numbers,
    modified_kW: numbers,
    gain_percent: numbers,
    pointwise: z.nullable(curveBandSchema),
    simultaneous: z.nullable(curveBandSchema),
    scope: coverage,
    significant: z.array(significantRangeSchema),
    significantPointwise: z.array(significantRangeSchema),
  }),
)

/** The headline gain under another choice of runs. */
export const alternativeSchema = named(
  'Alternative',
  z.object({
    kind: z.enum(['with', 'without']),
    runs: z.array(z.string()),
    sentence: z.string(),
    of: gainSubjectSchema,
    relative: intervalSchema,
  }),
)

/** The gain, corrected and uncorrected. */
export const gainsSchema = named(
  'Gains',
  z.object({
    correction: z.enum([...correctionIds, 'as-printed']),
    measuredAt: z.enum(['wheel', 'crankshaft-estimated', 'not-recorded']),
    corrected: z.array(gainSchema),
    uncorrected: z.array(gainSchema),
    curve: z.nullable(gainCurveSchema),
  }),
)

/** One term of the uncertainty budget of the headline gain. */
export const budgetTermSchema = named(
  'BudgetTerm',
  z.object({
    term: z.enum(['repeatability', 'drift', 'warm-up', 'ambient', 'day', 'mounting']),
    type: z.enum(['A', 'B', 'AB']),
    standardUncertainty: z.number(),
    degreesOfFreedom: z.number(),
    share: z.number(),
    status: z.enum([...recordStatusSchema.options, 'these-runs']),
  }),
)
