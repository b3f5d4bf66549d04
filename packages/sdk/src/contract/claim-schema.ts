/** What is claimed for a change. */
import * as z from 'zod/mini'
import { aboveZero, fromZero, identity, named, number } from './schema-parts.ts'
import { units } from './units.ts'

const peak = { kind: z.literal('peak') }
const atSpeed = { kind: z.literal('at-speed'), speed: aboveZero.rotationalSpeed }
const band = {
  kind: z.enum(['band-mean', 'everywhere', 'no-loss', 'anywhere']),
  from: fromZero.rotationalSpeed,
  to: aboveZero.rotationalSpeed,
}

/** Over which engine speeds a claim speaks. */
export const claimRangeSchema = named(
  'ClaimRange',
  z.discriminatedUnion('kind', [
    named('PeakRange', z.strictObject(peak)),
    named('AtSpeedRange', z.strictObject(atSpeed)),
    named('BandRange', z.strictObject(band)),
  ]),
)

/** The same in an answer, where members that a later version adds are ignored. */
export const judgedRangeSchema = named(
  'JudgedRange',
  z.discriminatedUnion('kind', [
    named('JudgedPeakRange', z.object(peak), 'PeakRange'),
    named('JudgedAtSpeedRange', z.object(atSpeed), 'AtSpeedRange'),
    named('JudgedBandRange', z.object(band), 'BandRange'),
  ]),
  'ClaimRange',
)

/** Units of a gain. */
export const gainUnitSchema = z.enum(['%', ...units.power, ...units.torque])

/** A gain with its unit. */
export const gainValueSchema = named('GainValue', z.strictObject({ value: number, unit: gainUnitSchema }))

/** One statement about the gain. */
export const claimSchema = named(
  'Claim',
  z.strictObject({
    id: identity,
    quantity: z.enum(['wheel-power', 'wheel-torque']),
    over: claimRangeSchema,
    relation: z.enum(['at-least', 'at-most', 'equals-within']),
    gain: gainValueSchema,
    tolerance: z.exactOptional(gainValueSchema),
  }),
)
