/** Each strapping-down with its setup and conditions. */
import * as z from 'zod/mini'
import { aboveZero, fromZero, identity, label, list, named, number, quantities, time, whole } from './schema-parts.ts'
import { units } from './units.ts'

/** One tie-down strap. */
export const strapSchema = named(
  'Strap',
  z.strictObject({
    position: label,
    tension: z.exactOptional(fromZero.force),
    angle: z.exactOptional(quantities.angle),
  }),
)

/** Drive-tyre pressure and the state it was read in. */
export const tyrePressureSchema = named(
  'TyrePressure',
  z.strictObject({
    value: number,
    unit: z.enum(units.pressure),
    state: z.enum(['set-cold', 'before-run', 'after-run']),
    tyreTemperature: z.exactOptional(quantities.temperature),
  }),
)

/** The fuel of a run. */
export const fuelSchema = named('Fuel', z.strictObject({ name: label, batch: z.exactOptional(label) }))

/** How the sweep was set on the rig. */
export const sweepSchema = named(
  'Sweep',
  z.strictObject({
    mode: z.exactOptional(label),
    rate: z.exactOptional(aboveZero.rotationalAcceleration),
    startSpeed: z.exactOptional(fromZero.rotationalSpeed),
    inertia: z.exactOptional(aboveZero.inertia),
  }),
)

/** What the operator sets. */
export const setupSchema = named(
  'Setup',
  z.strictObject({
    vehicle: z.exactOptional(identity),
    rollers: z.exactOptional(identity),
    driveTyre: z.exactOptional(identity),
    gear: z.exactOptional(whole(1, 8)),
    tyrePressure: z.exactOptional(tyrePressureSchema),
    tune: z.exactOptional(label),
    mode: z.exactOptional(label),
    fan: z.exactOptional(label),
    extraction: z.exactOptional(label),
    riderAboard: z.exactOptional(z.boolean()),
    ballast: z.exactOptional(fromZero.mass),
    fuel: z.exactOptional(fuelSchema),
    sweep: z.exactOptional(sweepSchema),
  }),
)

/** Intake air temperature and where it was read. */
export const intakeAirTemperatureSchema = named(
  'IntakeAirTemperature',
  z.strictObject({
    value: number,
    unit: z.enum(units.temperature),
    place: z.enum(['outside-machine', 'inside-tract']),
  }),
)

/** What was measured around a run. */
export const conditionsSchema = named(
  'Conditions',
  z.strictObject({
    stationPressure: z.exactOptional(quantities.pressure),
    cellAirTemperature: z.exactOptional(quantities.temperature),
    intakeAirTemperature: z.exactOptional(intakeAirTemperatureSchema),
    relativeHumidity: z.exactOptional(quantities.ratio),
    coolantTemperature: z.exactOptional(quantities.temperature),
    oilTemperature: z.exactOptional(quantities.temperature),
  }),
)

/** One strapping-down of the machine. */
export const mountingSchema = named(
  'Mounting',
  z.strictObject({
    id: identity,
    at: z.exactOptional(time),
    strapping: z.exactOptional(label),
    straps: z.exactOptional(list(strapSchema, 20)),
    suspensionLength: z.exactOptional(aboveZero.length),
    setup: z.exactOptional(setupSchema),
    conditions: z.exactOptional(conditionsSchema),
  }),
)
