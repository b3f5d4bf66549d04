/** The comparison document. */
import * as z from 'zod/mini'
import { claimSchema } from './claim-schema.ts'
import { facilitySchema } from './facility-schema.ts'
import { mountingSchema } from './mounting-schema.ts'
import { registeredPlanSchema } from './plan-schema.ts'
import { correctionSchema, runSchema } from './run-schema.ts'
import { identity, label, list, named, reason, whole } from './schema-parts.ts'
import { changeSchema, driveTyreSchema, vehicleSchema } from './vehicle-schema.ts'

/** Most runs of one comparison. */
export const MAX_RUNS = 1000

/** Counter numbers of the rig that are no runs of this comparison. */
export const unlistedSchema = named(
  'Unlisted',
  z.strictObject({
    counters: list(whole(0), 1000),
    purpose: z.enum(['tuning', 'conditioning', 'aborted', 'diagnosis', 'other-machine']),
  }),
)

/** A measured run that is left out. */
export const exclusionSchema = named(
  'Exclusion',
  z.strictObject({
    run: identity,
    rule: z.enum(['fuelling', 'slip', 'trace', 'operator', 'other']),
    reason,
  }),
)

/** A before/after comparison on a roller dynamometer: its shape. `readComparison` also checks that it makes sense. */
export const comparisonSchema = named(
  'Comparison',
  z.strictObject({
    protocol: label,
    reportIn: z.exactOptional(correctionSchema),
    facility: z.exactOptional(facilitySchema),
    vehicles: z.exactOptional(list(vehicleSchema, 100)),
    driveTyres: z.exactOptional(list(driveTyreSchema, 100)),
    changes: z.exactOptional(list(changeSchema, 100)),
    mountings: z.exactOptional(list(mountingSchema, MAX_RUNS)),
    runs: list(runSchema, MAX_RUNS),
    unlisted: z.exactOptional(list(unlistedSchema, 100)),
    excluded: z.exactOptional(list(exclusionSchema, MAX_RUNS)),
    claims: z.exactOptional(list(claimSchema, 100)),
    plan: z.exactOptional(registeredPlanSchema),
  }),
)
