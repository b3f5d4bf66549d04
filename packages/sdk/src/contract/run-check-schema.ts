/** One run looked at by itself: its shape, and that of the answer. */
import * as z from 'zod/mini'
import { claimSchema } from './claim-schema.ts'
import { facilitySchema } from './facility-schema.ts'
import { findingSchema } from './finding-schema.ts'
import { mountingSchema } from './mounting-schema.ts'
import { cautionSchema, traceReadingSchema } from './result-schema.ts'
import { correctionSchema, runSchema } from './run-schema.ts'
import { label, list, named } from './schema-parts.ts'
import { driveTyreSchema, vehicleSchema } from './vehicle-schema.ts'

/** One run, and the little beside it that its checks can use. */
export const runCheckRequestSchema = named(
  'RunCheckRequest',
  z.strictObject({
    protocol: label,
    run: runSchema,
    reportIn: z.exactOptional(correctionSchema),
    facility: z.exactOptional(facilitySchema),
    vehicle: z.exactOptional(vehicleSchema),
    driveTyre: z.exactOptional(driveTyreSchema),
    mounting: z.exactOptional(mountingSchema),
    claims: z.exactOptional(list(claimSchema, 100)),
  }),
)

/** What a run shows by itself. */
export const runCheckReportSchema = named(
  'RunCheckReport',
  z.object({
    protocol: z.string(),
    run: z.string(),
    isUsable: z.boolean(),
    verdict: z.string(),
    findings: z.array(findingSchema),
    trace: z.nullable(traceReadingSchema),
    cautions: z.array(cautionSchema),
  }),
)
