/** The parts every schema is built from: names, numbers, texts, times and quantities. */
import * as z from 'zod/mini'
import { type QuantityKind, units } from './units.ts'

/** What the generator of `schemas/` knows of a schema. */
export interface SchemaName extends Record<string, unknown> {
  /** Name under `$defs`; absent: written in place. */
  readonly id?: string
  /** Type of the contract that documents it: `Run`, or `Protocol.assumed` for a member's own type. */
  readonly of: string
}

/** The names of all schemas; private to the contract, so that two copies of it never meet in a global one. */
export const schemaNames = z.registry<SchemaName>()

/** Names a schema after the type it reads; it then has its own entry under `$defs`. */
export function named<S extends z.ZodMiniType>(id: string, schema: S, of: string = id): S {
  schemaNames.add(schema, { id, of })
  return schema
}

/** Says which type documents a schema that is written in place. */
export function documentedBy<S extends z.ZodMiniType>(of: string, schema: S): S {
  schemaNames.add(schema, { of })
  return schema
}

/** Largest magnitude of a number: beyond it float64 no longer tells neighbouring whole numbers apart. */
export const MAX_NUMBER = Number.MAX_SAFE_INTEGER

/** A finite number, below 2^53 in magnitude, no negative zero: the only numbers a digest says unambiguously. */
export const number = z.number().check(
  z.gte(-MAX_NUMBER),
  z.lte(MAX_NUMBER),
  z.refine((value) => !Object.is(value, -0), { params: { code: 'ERR_NEGATIVE_ZERO' } }),
)

/** A number above 0. */
export const positive = number.check(z.gt(0))

/** A number at or above 0. */
export const atLeastZero = number.check(z.gte(0))

/** A whole number between two bounds, both included. */
export function whole(from: number, to: number = MAX_NUMBER) {
  return z.int().check(
    z.gte(from),
    z.lte(to),
    z.refine((value) => !Object.is(value, -0), { params: { code: 'ERR_NEGATIVE_ZERO' } }),
  )
}

/** What a text pattern asks for, in words, and the code of a text that does not match. */
export interface TextForm {
  /** Code of the refusal. */
  readonly code: 'ERR_BAD_TEXT' | 'ERR_BAD_TIME' | 'ERR_BAD_DATE' | 'ERR_BAD_DIGEST'
  /** What is allowed. */
  readonly allowed: string
}

const CALENDAR_DATE =
  '(?:(?:\\d\\d[2468][048]|\\d\\d[13579][26]|\\d\\d0[48]|[02468][048]00|[13579][26]00)-02-29|' +
  '\\d{4}-(?:(?:0[13578]|1[02])-(?:0[1-9]|[12]\\d|3[01])|(?:0[469]|11)-(?:0[1-9]|[12]\\d|30)|02-(?:0[1-9]|1\\d|2[0-8])))'
const CLOCK = '(?:[01]\\d|2[0-3]):[0-5]\\d'

const forms = new Map<string, TextForm>()

/** What is asked of a text that did not match `pattern`, by the pattern as an issue prints it. */
export function textForm(pattern: string | undefined): TextForm | undefined {
  return pattern === undefined ? undefined : forms.get(pattern)
}

function text(pattern: RegExp, form: TextForm) {
  forms.set(String(pattern), form)
  return z.string().check(z.regex(pattern))
}

/** One line of text. Counted in code points, as JSON Schema does. */
export function line(longest: number) {
  return text(new RegExp(`^[^\\p{Cc}\\p{Cs}]{1,${longest}}$`, 'u'), {
    code: 'ERR_BAD_TEXT',
    allowed: `one line of 1 to ${longest} characters, without control characters`,
  })
}

/** Text that may run over several lines. */
export function paragraph(longest: number) {
  return text(new RegExp(`^(?:[^\\p{Cc}\\p{Cs}]|[\\n\\r\\t]){1,${longest}}$`, 'u'), {
    code: 'ERR_BAD_TEXT',
    allowed: `text of 1 to ${longest} characters, without control characters other than line breaks and tabs`,
  })
}

/** Identity within a document. */
export const identity = line(100)

/** A name or a short description. */
export const label = line(200)

/** A reason given in a sentence or a few. */
export const reason = paragraph(2000)

/** A moment, RFC 3339 §5.6 with offset; a real calendar date, no leap second. */
export const time = text(new RegExp(`^${CALENDAR_DATE}T${CLOCK}:[0-5]\\d(?:\\.\\d{1,9})?(?:Z|[+-]${CLOCK})$`, 'u'), {
  code: 'ERR_BAD_TIME',
  allowed: 'a real date and time with offset (RFC 3339), such as 2026-05-02T09:30:00+02:00 or 2026-05-02T07:30:00Z',
})

/** A moment in UTC, RFC 3339 with `Z`. */
export const utcTime = text(new RegExp(`^${CALENDAR_DATE}T${CLOCK}:[0-5]\\d(?:\\.\\d{1,9})?Z$`, 'u'), {
  code: 'ERR_BAD_TIME',
  allowed: 'a real date and time in UTC (RFC 3339), such as 2026-05-02T07:30:00Z',
})

/** A calendar date, RFC 3339 full-date. */
export const date = text(new RegExp(`^${CALENDAR_DATE}$`, 'u'), {
  code: 'ERR_BAD_DATE',
  allowed: 'a real calendar date written YYYY-MM-DD, such as 2026-05-02',
})

/** A SHA-256 digest in lower-case hex. */
export const sha256 = text(/^[0-9a-f]{64}$/u, {
  code: 'ERR_BAD_DIGEST',
  allowed: '64 digits 0-9 a-f, a SHA-256 digest in lower-case hex',
})

/** A list with at most so many elements. */
export function list<S extends z.ZodMiniType>(element: S, longest: number) {
  return z.array(element).check(z.maxLength(longest))
}

/** The unit beside a value has no default; a quantity without one is refused. */
function quantity<const U extends readonly string[]>(id: string, kindUnits: U, value = number) {
  return named(id, z.strictObject({ value, unit: z.enum(kindUnits) }), 'Quantity')
}

/** A quantity of each kind, as it stands on the wire. */
export const quantities = {
  power: quantity('PowerQuantity', units.power),
  torque: quantity('TorqueQuantity', units.torque),
  pressure: quantity('PressureQuantity', units.pressure),
  temperature: quantity('TemperatureQuantity', units.temperature),
  rotationalSpeed: quantity('RotationalSpeedQuantity', units.rotationalSpeed),
  speed: quantity('SpeedQuantity', units.speed),
  rotationalAcceleration: quantity('RotationalAccelerationQuantity', units.rotationalAcceleration),
  time: quantity('TimeQuantity', units.time),
  length: quantity('LengthQuantity', units.length),
  mass: quantity('MassQuantity', units.mass),
  force: quantity('ForceQuantity', units.force),
  inertia: quantity('InertiaQuantity', units.inertia),
  angle: quantity('AngleQuantity', units.angle),
  ratio: quantity('RatioQuantity', units.ratio),
} as const satisfies Readonly<Record<QuantityKind, z.ZodMiniType>>

/** Quantities that are nothing at 0: what is divided by, or spans a range. */
export const aboveZero = {
  rotationalSpeed: quantity('RotationalSpeedAboveZero', units.rotationalSpeed, positive),
  rotationalAcceleration: quantity('RotationalAccelerationAboveZero', units.rotationalAcceleration, positive),
  length: quantity('LengthAboveZero', units.length, positive),
  inertia: quantity('InertiaAboveZero', units.inertia, positive),
} as const

/** Quantities that cannot be below 0. */
export const fromZero = {
  rotationalSpeed: quantity('RotationalSpeedFromZero', units.rotationalSpeed, atLeastZero),
  time: quantity('TimeFromZero', units.time, atLeastZero),
  length: quantity('LengthFromZero', units.length, atLeastZero),
  mass: quantity('MassFromZero', units.mass, atLeastZero),
  force: quantity('ForceFromZero', units.force, atLeastZero),
} as const
