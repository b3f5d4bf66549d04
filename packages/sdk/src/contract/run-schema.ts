/** One full-throttle sweep. */
import * as z from 'zod/mini'
import { channelsSchema } from './channels-schema.ts'
import { correctionIds } from './corrections.ts'
import { conditionsSchema, setupSchema } from './mounting-schema.ts'
import { aboveZero, identity, label, named, positive, quantities, sha256, time, whole } from './schema-parts.ts'

/** Which of the two things compared a run belongs to. */
export const sideSchema = z.enum(['baseline', 'modified'])

/** Name of a power-correction standard. */
export const correctionSchema = z.enum(correctionIds)

/** A printed correction factor. */
export const printedFactorSchema = named(
  'PrintedFactor',
  z.strictObject({ value: positive, resolution: z.exactOptional(positive) }),
)

/** A stated smoothing. */
export const smoothingSchema = named(
  'Smoothing',
  z.strictObject({
    kernel: z.enum(['none', 'gaussian', 'moving-average', 'other']),
    width: z.exactOptional(aboveZero.rotationalSpeed),
  }),
)

/** What was already done to the figures. */
export const processingSchema = named(
  'Processing',
  z.strictObject({
    measuredAt: z.exactOptional(z.enum(['wheel', 'crankshaft-estimated'])),
    correction: z.exactOptional(correctionSchema),
    factor: z.exactOptional(printedFactorSchema),
    smoothing: z.exactOptional(smoothingSchema),
  }),
)

/** The file a run was read from. */
export const sourceSchema = named('Source', z.strictObject({ name: label, sha256 }))

/** Published figures, in place of channels. */
export const reportedSchema = named(
  'Reported',
  z.strictObject({
    peakPower: z.exactOptional(quantities.power),
    at: z.exactOptional(aboveZero.rotationalSpeed),
    peakTorque: z.exactOptional(quantities.torque),
    peakTorqueAt: z.exactOptional(aboveZero.rotationalSpeed),
    resolution: z.exactOptional(positive),
    torqueResolution: z.exactOptional(positive),
    bestOf: z.exactOptional(whole(1)),
  }),
)

/** One full-throttle sweep and its channels. */
export const runSchema = named(
  'Run',
  z.strictObject({
    id: identity,
    side: sideSchema,
    mounting: z.exactOptional(identity),
    purpose: z.enum(['measured', 'conditioning', 'tuning', 'aborted', 'diagnosis']),
    sequence: z.exactOptional(whole(1)),
    counter: z.exactOptional(whole(0)),
    startedAt: z.exactOptional(time),
    origin: z.exactOptional(z.enum(['recorded', 'exported', 'read-from-chart', 'reported'])),
    source: z.exactOptional(sourceSchema),
    setup: z.exactOptional(setupSchema),
    conditions: z.exactOptional(conditionsSchema),
    processing: z.exactOptional(processingSchema),
    channels: z.exactOptional(channelsSchema),
    reported: z.exactOptional(reportedSchema),
  }),
)
