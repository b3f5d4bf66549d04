/** Repeatability studies: their shape, and that of what they show. */
import * as z from 'zod/mini'
import { exclusionSchema, MAX_RUNS } from './comparison-schema.ts'
import { facilityRecordSchema, facilitySchema, recordScopeSchema } from './facility-schema.ts'
import { findingSchema } from './finding-schema.ts'
import { mountingSchema } from './mounting-schema.ts'
import { cautionSchema, excludedRunSchema, notMeasuredRunSchema } from './result-schema.ts'
import { correctionSchema, runSchema, sideSchema } from './run-schema.ts'
import { aboveZero, date, fromZero, identity, label, list, named, positive, utcTime } from './schema-parts.ts'
import { driveTyreSchema, vehicleSchema } from './vehicle-schema.ts'

/** A band of engine speeds. */
export const studyBandSchema = named(
  'StudyBand',
  z.strictObject({ from: fromZero.rotationalSpeed, to: aboveZero.rotationalSpeed }),
)

/** One full-throttle sweep of a study. */
export const studyRunSchema = named(
  'StudyRun',
  z.strictObject({ ...runSchema.shape, mounting: identity, side: z.exactOptional(sideSchema) }),
)

/** A series of runs in one mounting, by its figures. */
export const pastSeriesSchema = named(
  'PastSeries',
  z.strictObject({ relativeSd: positive, degreesOfFreedom: positive, on: z.exactOptional(date) }),
)

/** A repeatability study: its shape. `readStudy` also checks that it makes sense. */
export const studySchema = named(
  'Study',
  z.strictObject({
    protocol: label,
    name: z.exactOptional(label),
    reportIn: z.exactOptional(correctionSchema),
    facility: facilitySchema,
    vehicle: vehicleSchema,
    driveTyres: z.exactOptional(list(driveTyreSchema, 100)),
    band: studyBandSchema,
    appliesTo: recordScopeSchema,
    mountings: list(mountingSchema, MAX_RUNS),
    runs: list(studyRunSchema, MAX_RUNS),
    excluded: z.exactOptional(list(exclusionSchema, MAX_RUNS)),
    past: z.exactOptional(list(pastSeriesSchema, 100)),
  }),
)

/** A part of the record that is missing. */
export const missingFromRecordSchema = named(
  'MissingFromRecord',
  z.object({
    part: z.enum(['record', 'repeatability', 'remounting', 'day', 'localNoise']),
    sentence: z.string(),
    remedy: z.string(),
  }),
)

/** What the figures are taken from. */
export const studyFiguresSchema = named(
  'StudyFigures',
  z.object({
    from_rpm: z.number(),
    to_rpm: z.number(),
    correction: z.union([correctionSchema, z.literal('as-printed')]),
    mountings: z.number(),
    days: z.nullable(z.number()),
  }),
)

/** One component of variance. */
export const varianceComponentSchema = named(
  'VarianceComponent',
  z.object({
    source: z.enum(['repeatability', 'mounting', 'day']),
    relativeSd: z.number(),
    degreesOfFreedom: z.number(),
  }),
)

/** Where the scatter comes from. */
export const studyComponentsSchema = named(
  'StudyComponents',
  z.object({
    analysis: z.enum(['nested-anova', 'reml']),
    of: z.array(varianceComponentSchema),
    isDayInMounting: z.boolean(),
  }),
)

const scatterOf = z.enum(['runs', 'mounting-means'])

/** A standard deviation as the study found it. */
export const studyScatterSchema = named(
  'StudyScatter',
  z.object({ of: scatterOf, relativeSd: z.number(), degreesOfFreedom: z.number() }),
)

/** How alike series of runs are. */
export const studyPriorSchema = named(
  'StudyPrior',
  z.object({
    series: z.number(),
    relativeSd: z.number(),
    spreadDegreesOfFreedom: z.nullable(z.number()),
    degreesOfFreedom: z.number(),
  }),
)

/** One run that entered the figures. */
export const studyRunFigureSchema = named(
  'StudyRunFigure',
  z.object({
    run: z.string(),
    mounting: z.string(),
    day: z.nullable(z.string()),
    bandMean_kW: z.nullable(z.number()),
  }),
)

/** A member that was recorded otherwise on some runs. */
export const studyDifferenceSchema = named(
  'StudyDifference',
  z.object({ member: z.string(), values: z.number(), isWithinMounting: z.boolean() }),
)

const texts = z.array(z.string())

/** What a study shows. */
export const studyResultSchema = named(
  'StudyResult',
  z.object({
    method: z.string(),
    protocol: z.string(),
    facility: z.string(),
    verdict: z.string(),
    record: z.nullable(facilityRecordSchema),
    missing: z.array(missingFromRecordSchema),
    figures: studyFiguresSchema,
    components: z.nullable(studyComponentsSchema),
    scatter: z.array(studyScatterSchema),
    prior: z.nullable(studyPriorSchema),
    localDegreesOfFreedom: z.nullable(z.number()),
    runs: z.array(studyRunFigureSchema),
    excluded: z.array(excludedRunSchema),
    notMeasured: z.array(notMeasuredRunSchema),
    outlying: texts,
    differences: z.array(studyDifferenceSchema),
    findings: z.array(findingSchema),
    limits: texts,
    cautions: z.array(cautionSchema),
  }),
)

/** One study on a control chart. */
export const controlPointSchema = named(
  'ControlPoint',
  z.object({
    study: z.string(),
    on: z.nullable(z.string()),
    relativeSd: z.number(),
    degreesOfFreedom: z.number(),
    centre: z.number(),
    lower: z.number(),
    upper: z.number(),
    isInControl: z.boolean(),
  }),
)

/** A control chart over several studies. */
export const controlChartSchema = named(
  'ControlChart',
  z.object({
    of: scatterOf,
    relativeSd: z.number(),
    points: z.array(controlPointSchema),
    sentence: z.string(),
  }),
)

/** A study that a register keeps. */
export const registeredStudySchema = named(
  'RegisteredStudy',
  z.object({ id: z.string(), registeredAt: utcTime, result: studyResultSchema }),
)

/** Control charts over the studies of one facility. */
export const studyChartsSchema = named(
  'StudyCharts',
  z.object({ facility: z.string(), charts: z.array(controlChartSchema) }),
)
