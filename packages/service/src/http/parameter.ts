/** Query parameters, path parameters and header fields: documented and read from one description. */
import type { SchemaObject } from 'openapi3-ts/oas31'

/** A parameter and how its text is read. */
export interface Parameter<Value> {
  /** What it is for. */
  readonly description: string
  /** What is documented. */
  readonly schema: SchemaObject
  /** A text for the example in the documentation; set where the operation has to have one. */
  readonly example?: string
  /** What is acceptable, in words, after "give". */
  readonly allowed: string
  /** The value behind a text; undefined when the text is not acceptable. Never throws. */
  readonly read: (text: string) => Value | undefined
}

/** Parameters by name; header fields in lower case. */
export type ParameterSet = Readonly<Record<string, Parameter<unknown>>>

/** The values of parameters. */
export type ValuesOf<P extends ParameterSet> = {
  readonly [Name in keyof P]: P[Name] extends Parameter<infer Value> ? Value : never
}

/** `true` or `false`. */
export function flag(description: string): Parameter<boolean> {
  return {
    description,
    schema: { type: 'boolean' },
    allowed: 'true or false',
    read: (text) => (text === 'true' ? true : text === 'false' ? false : undefined),
  }
}

/** A whole number from `least` to `most`, in digits without leading zero. */
export function wholeNumber(description: string, least: number, most: number): Parameter<number> {
  return {
    description,
    schema: { type: 'integer', minimum: least, maximum: most },
    allowed: `a whole number from ${least} to ${most}`,
    read: (text) => {
      const value = /^(?:0|[1-9][0-9]{0,8})$/.test(text) ? Number(text) : Number.NaN
      return value >= least && value <= most ? value : undefined
    },
  }
}

/** Text of a stated form. */
export function textLike(description: string, pattern: RegExp, allowed: string): Parameter<string> {
  return {
    description,
    schema: { type: 'string', pattern: pattern.source },
    allowed,
    read: (text) => (pattern.test(text) ? text : undefined),
  }
}

/** Any text. */
export function anyText(description: string): Parameter<string> {
  return { description, schema: { type: 'string' }, allowed: 'any text', read: (text) => text }
}

/** One of a few words, each with the value that it stands for. */
export function oneOf<const Value>(description: string, words: Readonly<Record<string, Value>>): Parameter<Value> {
  return {
    description,
    schema: { enum: Object.keys(words) },
    allowed: `one of ${Object.keys(words).join(', ')}`,
    read: (text) => (Object.hasOwn(words, text) ? words[text] : undefined),
  }
}

/** What was read of a group of parameters. */
export interface ReadParameters {
  /** Values by name; those that were not given are absent. */
  readonly values: Readonly<Record<string, unknown>>
  /** One sentence for each that was refused. */
  readonly refused: readonly string[]
}

/**
 * Reads the query of an address. Unknown and repeated names are refused: a misspelt `dryRun` must not store anything.
 */
export function readQuery(parameters: ParameterSet, query: URLSearchParams): ReadParameters {
  const values: Record<string, unknown> = {}
  const refused: string[] = []
  for (const name of new Set(query.keys())) {
    const parameter = Object.hasOwn(parameters, name) ? parameters[name] : undefined
    const [text = '', ...others] = query.getAll(name)
    const value = others.length === 0 ? parameter?.read(text) : undefined
    if (value !== undefined) values[name] = value
    else refused.push(queryRefusal(name, parameter, others.length > 0))
  }
  return { values, refused }
}

/** Reads the header fields that an operation knows; all others are left alone. */
export function readHeaders(parameters: ParameterSet, headers: Headers): ReadParameters {
  const values: Record<string, unknown> = {}
  const refused: string[] = []
  for (const [name, parameter] of Object.entries(parameters)) {
    const text = headers.get(name)
    if (text === null) continue
    const value = parameter.read(text)
    if (value !== undefined) values[name] = value
    else refused.push(`Header field ${name}: give ${parameter.allowed}.`)
  }
  return { values, refused }
}

function queryRefusal(name: string, parameter: Parameter<unknown> | undefined, isRepeated: boolean): string {
  const shown = `Query parameter ${JSON.stringify(name.slice(0, 40))}`
  if (parameter === undefined) return `${shown}: this operation does not know it.`
  return isRepeated ? `${shown}: give it once.` : `${shown}: give ${parameter.allowed}.`
}
