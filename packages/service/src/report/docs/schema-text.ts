/** Forms of JSON values as a reader needs them: one line each, references as links. Pure. */
import type { ReferenceObject, SchemaObject } from 'openapi3-ts/oas31'
import { type Content, joined, type Markup, markup } from '../markup.ts'

/** A schema or a reference to one. */
export type Schema = SchemaObject | ReferenceObject

const COMPONENTS = '#/components/schemas/'

/** The id of a schema on the page. */
export function schemaId(name: string): string {
  return `schema-${name}`
}

/** The name that a reference names; undefined for a schema that stands here. */
export function referenced(schema: Schema): string | undefined {
  return '$ref' in schema && typeof schema.$ref === 'string' ? schema.$ref.slice(COMPONENTS.length) : undefined
}

/** What a value may be. */
export function formOf(schema: Schema): Content {
  const name = referenced(schema)
  if (name !== undefined) return markup`<a href="#${schemaId(name)}">${name}</a>`
  const { type, items, enum: words, const: constant, oneOf, anyOf, allOf, pattern } = schema as SchemaObject
  if (constant !== undefined) return markup`<code>${JSON.stringify(constant)}</code>`
  if (words !== undefined) return listed(words.map((word) => markup`<code>${JSON.stringify(word)}</code>`))
  const choices = oneOf ?? anyOf ?? allOf
  if (choices !== undefined) return listed(choices.map(formOf))
  if (type === 'array' && items !== undefined) return markup`list of ${formOf(items)}`
  const named = Array.isArray(type) ? type.join(' or ') : (type ?? 'any value')
  return pattern === undefined ? named : markup`${named} like <code>${pattern}</code>`
}

function listed(pieces: readonly Content[]): Markup {
  return joined(pieces, markup` or `)
}
