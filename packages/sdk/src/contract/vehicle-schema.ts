/** The machines and tyres of a comparison, and what was changed on them. */
import * as z from 'zod/mini'
import { setupSchema } from './mounting-schema.ts'
import { atLeastZero, fromZero, identity, label, list, named, positive, quantities, sha256 } from './schema-parts.ts'

/** Reduction ratios between crankshaft and driven wheel. */
export const gearingSchema = named(
  'Gearing',
  z.strictObject({ primary: positive, gears: list(positive, 8).check(z.minLength(1)), final: positive }),
)

/** The kind of engine. */
export const engineSchema = named(
  'Engine',
  z.strictObject({
    cycle: z.enum(['four-stroke', 'two-stroke']),
    ignition: z.enum(['spark', 'compression']),
    aspiration: z.enum(['natural', 'boosted']),
    fuelling: z.enum(['carburettor', 'injection']),
  }),
)

/** A machine that was measured. */
export const vehicleSchema = named(
  'Vehicle',
  z.strictObject({
    id: identity,
    label: z.exactOptional(label),
    class: z.exactOptional(label),
    frameNumberDigest: z.exactOptional(sha256),
    odometer: z.exactOptional(fromZero.length),
    transmission: z.exactOptional(z.enum(['stepped', 'continuously-variable'])),
    gearing: z.exactOptional(gearingSchema),
    engine: z.exactOptional(engineSchema),
  }),
)

/** The tyre that drives the rollers. */
export const driveTyreSchema = named(
  'DriveTyre',
  z.strictObject({
    id: identity,
    size: z.exactOptional(label),
    maxPressure: z.exactOptional(quantities.pressure),
    speedSymbol: z.exactOptional(label),
  }),
)

/** How a change is fitted and taken off. */
export const swapSchema = named(
  'Swap',
  z.strictObject({ onRollers: z.boolean(), reversible: z.boolean(), minutes: atLeastZero }),
)

/** A declared difference between the sides. */
export const changeSchema = named(
  'Change',
  z.strictObject({
    what: label,
    role: z.enum(['under-test', 'other']),
    accountsFor: z.exactOptional(list(z.keyof(setupSchema), 50)),
    swap: z.exactOptional(swapSchema),
  }),
)
