/** Looks up what a schema knows of the place an issue points to. */
import type * as z from 'zod/mini'
import type { MemberPath } from './field-problem.ts'

type Schema = z.core.$ZodType

/** What is read of a schema's definition; each kind of schema has some of it. */
interface SchemaDefinition {
  readonly type: string
  readonly shape?: Readonly<Record<string, Schema>>
  readonly element?: Schema
  readonly innerType?: Schema
  readonly options?: readonly Schema[]
  readonly discriminator?: string
  readonly entries?: Readonly<Record<string, string>>
}

/** The value at a path; undefined when the path leaves the value. */
export function valueAt(value: unknown, path: MemberPath): unknown {
  let here = value
  for (const step of path) {
    if (typeof here !== 'object' || here === null || !Object.hasOwn(here, step)) return undefined
    here = Reflect.get(here, step)
  }
  return here
}

/** Names that an object at a path may have, under the form that the value itself chooses; empty where it is none. */
export function memberNames(schema: Schema, value: unknown, path: MemberPath): readonly string[] {
  const names = schemasAt(schema, value, path).flatMap((each) => Object.keys(definition(each).shape ?? {}))
  return [...new Set(names)]
}

/** Units of the quantity that stands at a path; empty where no quantity stands. */
export function unitsAt(schema: Schema, value: unknown, path: MemberPath): readonly string[] {
  for (const each of schemasAt(schema, value, path)) {
    const unit = definition(each).shape?.unit
    if (unit !== undefined) return Object.values(definition(unit).entries ?? {})
  }
  return []
}

/** Kinds of value that may stand at a path, such as `string`, `number` or `object`; empty where none may. */
export function typesAt(schema: Schema, value: unknown, path: MemberPath): readonly string[] {
  return schemasAt(schema, value, path).map((each) => definition(each).type)
}

/** Member of the object at a path under which `name` would stand; undefined where none takes it. */
export function homeOf(schema: Schema, value: unknown, path: MemberPath, name: string): string | undefined {
  const shapes = schemasAt(schema, value, path).map((each) => definition(each).shape ?? {})
  const members = shapes.flatMap((shape) => Object.entries(shape))
  const takesName = (member: Schema) =>
    forms(member, undefined).some((form) => Object.hasOwn(definition(form).shape ?? {}, name))
  return members.find(([, member]) => takesName(member))?.[0]
}

function schemasAt(schema: Schema, value: unknown, path: MemberPath): readonly Schema[] {
  let schemas = forms(schema, value)
  let here = value
  for (const step of path) {
    here = valueAt(here, [step])
    schemas = schemas.flatMap((each) => forms(memberOf(each, step), here))
  }
  return schemas
}

function memberOf(schema: Schema, step: PropertyKey): Schema | undefined {
  const { element, shape = {} } = definition(schema)
  if (typeof step === 'number') return element
  return Object.hasOwn(shape, String(step)) ? shape[String(step)] : undefined
}

/** The schemas behind an optional one and behind a choice; of a choice by a member, the one the value names. */
function forms(schema: Schema | undefined, value: unknown): readonly Schema[] {
  if (schema === undefined) return []
  const { innerType, options, discriminator } = definition(schema)
  if (innerType !== undefined) return forms(innerType, value)
  if (options === undefined) return [schema]
  const chosen = discriminator === undefined ? undefined : valueAt(value, [discriminator])
  const isOpen = (option: Schema) =>
    discriminator === undefined || option._zod.propValues?.[discriminator]?.has(chosen as z.core.util.Primitive)
  return options.filter(isOpen).flatMap((option) => forms(option, value))
}

function definition(schema: Schema): SchemaDefinition {
  return schema._zod.def as SchemaDefinition
}
