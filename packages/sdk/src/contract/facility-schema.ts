/** The facility of a comparison and how well it repeats. */
import * as z from 'zod/mini'
import {
  aboveZero,
  atLeastZero,
  date,
  fromZero,
  identity,
  label,
  list,
  named,
  positive,
  quantities,
} from './schema-parts.ts'

/** How a value of a facility record came about. */
export const recordStatusSchema = z.enum(['measured', 'declared', 'network', 'assumed'])

/** One roller set. */
export const rollersSchema = named(
  'Rollers',
  z.strictObject({
    id: identity,
    kind: z.exactOptional(z.enum(['inertia', 'braked'])),
    inertia: z.exactOptional(aboveZero.inertia),
    rollerRadius: z.exactOptional(aboveZero.length),
    calibratedOn: z.exactOptional(date),
  }),
)

const group = { relativeSd: atLeastZero, degreesOfFreedom: positive, status: recordStatusSchema }

/** A relative standard deviation with its degrees of freedom. */
export const recordGroupSchema = named('RecordGroup', z.strictObject(group))

/** Run-to-run repeatability: a rig that repeats without any scatter is not credible, and 0 would weigh without end. */
export const repeatabilityGroupSchema = named(
  'RepeatabilityGroup',
  z.strictObject({ ...group, relativeSd: positive }),
  'RecordGroup',
)

/** Scatter between mountings. */
export const remountingGroupSchema = named(
  'RemountingGroup',
  z.strictObject({
    ...group,
    tiltRelativeSd: z.exactOptional(atLeastZero),
    spacing: z.exactOptional(fromZero.time),
  }),
)

/** One point of the local-noise profile. */
export const localNoiseAtSchema = named(
  'LocalNoiseAt',
  z.strictObject({ at: fromZero.rotationalSpeed, weight: positive }),
)

/** Noise along the engine speed. */
export const localNoiseSchema = named(
  'LocalNoise',
  z.strictObject({
    relativeSd: atLeastZero,
    correlationLength: aboveZero.rotationalSpeed,
    profile: z.exactOptional(list(localNoiseAtSchema, 1000)),
  }),
)

/** What a record applies to. */
export const recordScopeSchema = named(
  'RecordScope',
  z.strictObject({ machine: label, strapping: label, class: label }),
)

/** How well a facility repeats. */
export const facilityRecordSchema = named(
  'FacilityRecord',
  z.strictObject({
    study: z.exactOptional(label),
    on: z.exactOptional(date),
    appliesTo: z.exactOptional(recordScopeSchema),
    repeatability: z.exactOptional(repeatabilityGroupSchema),
    remounting: z.exactOptional(remountingGroupSchema),
    day: z.exactOptional(recordGroupSchema),
    drift: z.exactOptional(recordGroupSchema),
    ambient: z.exactOptional(recordGroupSchema),
    localNoise: z.exactOptional(localNoiseSchema),
  }),
)

/** Where the runs were made. */
export const facilitySchema = named(
  'Facility',
  z.strictObject({
    id: identity,
    altitude: z.exactOptional(quantities.length),
    rollers: z.exactOptional(list(rollersSchema, 100)),
    record: z.exactOptional(facilityRecordSchema),
  }),
)
