/** Turns what a schema refused into problems that say what was found, what is allowed and what to do. */
import type * as z from 'zod/mini'
import {
  type ComparisonProblem,
  type FieldProblemCode,
  fieldProblemCodes,
  listed,
  type MemberPath,
  pointerTo,
  printed,
  shortened,
} from './field-problem.ts'
import { didYouMean } from './nearest-name.ts'
import { textForm } from './schema-parts.ts'
import { homeOf, memberNames, unitsAt, valueAt } from './schema-walk.ts'
import { type QuantityKind, units } from './units.ts'

type Issue = z.core.$ZodIssue

interface Reading {
  readonly schema: z.core.$ZodType
  readonly value: unknown
}

/** One refused place, with the path that its pointer writes. */
interface SchemaProblem extends ComparisonProblem {
  readonly path: MemberPath
}

/** What a schema refused. */
export interface SchemaRefusal {
  /** The first problems, in the order of the schema. */
  readonly problems: readonly ComparisonProblem[]
  /** How many more there are at least. */
  readonly more: number
  /** Every refused place; one with members nobody knows stands for them. */
  readonly refused: readonly MemberPath[]
}

/**
 * The problems behind the issues of a schema.
 *
 * @param schema the schema that refused
 * @param value what it was given
 * @param issues what it said
 * @param most issues that are explained; finding the words for each of a hundred thousand would take long
 * @returns at least one problem when there is an issue. Pure; never throws.
 */
export function schemaProblems(
  schema: z.core.$ZodType,
  value: unknown,
  issues: readonly Issue[],
  most: number,
): SchemaRefusal {
  const single = issues.flatMap((issue): readonly Issue[] =>
    issue.code === 'unrecognized_keys' ? issue.keys.map((name) => ({ ...issue, keys: [name] })) : [issue],
  )
  const explained = single.slice(0, most).flatMap((issue) => problemsOf({ schema, value }, issue, issue.path))
  return {
    problems: explained.map(({ pointer, code, detail }) => ({ pointer, code, detail })),
    more: Math.max(0, single.length - most),
    refused: issues.map(({ path }) => path),
  }
}

function problemsOf(reading: Reading, issue: Issue, path: MemberPath): readonly SchemaProblem[] {
  switch (issue.code) {
    case 'unrecognized_keys':
      return issue.keys.map((name) => unknownMember(reading, path, name))
    case 'invalid_union':
      return unionProblems(reading, issue, path)
    default:
      return [singleProblem(reading, issue, path)]
  }
}

function singleProblem(reading: Reading, issue: Issue, path: MemberPath): SchemaProblem {
  const found = valueAt(reading.value, path)
  switch (issue.code) {
    case 'invalid_type':
      return wrongType(reading, issue.expected, path, found)
    case 'invalid_value':
      return notInList(reading, issue.values.map(String), path)
    case 'too_big':
    case 'too_small':
      return outOfBounds(issue, path, found)
    case 'invalid_format':
      return badText('pattern' in issue ? issue.pattern : undefined, path, found)
    case 'custom':
      return ownIssue(issue.params, path, found)
    default:
      return problem('ERR_WRONG_TYPE', path, `${printed(found)} cannot be read here.`)
  }
}

function problem(code: FieldProblemCode, path: MemberPath, detail: string): SchemaProblem {
  return { pointer: pointerTo(path), code, detail, path }
}

function unknownMember({ schema, value }: Reading, path: MemberPath, name: string): SchemaProblem {
  const known = memberNames(schema, value, path)
  const home = homeOf(schema, value, path, name)
  const meant = home === undefined ? didYouMean(name, known) : ` It belongs under "${home}".`
  const detail = `${printed(name)} is not a member here.${meant} Known: ${listed(known)}.`
  return problem('ERR_UNKNOWN_MEMBER', [...path, shortened(name)], detail)
}

/** A channel is a choice of two forms, a range a choice by `kind`; the form that the value means is spoken of. */
function unionProblems(
  reading: Reading,
  issue: z.core.$ZodIssueInvalidUnion,
  path: MemberPath,
): readonly SchemaProblem[] {
  if ('options' in issue && issue.options !== undefined) {
    return [notInList(reading, issue.options.map(String), path)]
  }
  const found = valueAt(reading.value, path)
  const hasText = typeof found === 'object' && found !== null && 'base64' in found
  const hasList = typeof found === 'object' && found !== null && 'values' in found
  const branch = issue.errors[hasText && !hasList ? 1 : 0] ?? []
  const inside = branch.flatMap((each) => problemsOf(reading, each, [...path, ...each.path]))
  if (hasText === hasList && typeof found === 'object') {
    const others = inside.filter((each) => !['values', 'base64'].includes(String(each.path[path.length])))
    return [channelForm(path, hasText), ...others]
  }
  return inside
}

function channelForm(path: MemberPath, hasBoth: boolean): SchemaProblem {
  const detail = hasBoth
    ? 'Both `values` and `base64` are given; keep one of them.'
    : 'The channel has no values; give them as a list `values`, or as text `base64` of little-endian float64.'
  return problem('ERR_CHANNEL_FORM', path, detail)
}

const needed: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  array: 'a list',
  object: 'an object',
}

function wrongType(reading: Reading, expected: string, path: MemberPath, found: unknown): SchemaProblem {
  const wanted = needed[expected] ?? expected
  const quantity = quantityHint(reading, path)
  if (found === undefined) return absent(reading.value, path, `${wanted}.${quantity || ' Add it.'}`)
  if (typeof found === 'number' && !Number.isFinite(found)) {
    return problem('ERR_NOT_FINITE', path, `${found} is not a finite number. Leave out what was not recorded.`)
  }
  if (expected === 'int' && typeof found === 'number') {
    return problem('ERR_NOT_WHOLE', path, `${printed(found)} is not a whole number; a whole number is needed.`)
  }
  const bare = typeof found === 'number' && quantity !== '' ? `${printed(found)} has no unit.` : ''
  const detail = bare || `Found ${printed(found)}; ${wanted} is needed.`
  return problem('ERR_WRONG_TYPE', path, `${detail}${quantity || typeHint(found, expected, path)}`)
}

/** A member that is not there, or that a program put there without a value. */
function absent(value: unknown, path: MemberPath, wanted: string): SchemaProblem {
  const parent = valueAt(value, path.slice(0, -1))
  const isThere = typeof parent === 'object' && parent !== null && Object.hasOwn(parent, path.at(-1) ?? '')
  if (!isThere) return problem('ERR_MISSING_MEMBER', path, `The member is missing; it is ${wanted}`)
  return problem('ERR_WRONG_TYPE', path, 'The member is undefined. Give it a value or leave it out.')
}

function quantityHint({ schema, value }: Reading, path: MemberPath): string {
  const allowed = unitsAt(schema, value, path)
  const [first] = allowed
  if (first === undefined) return ''
  const member = memberNames(schema, value, path).includes('values') ? '"values": [ … ]' : '"value": …'
  return ` Write { ${member}, "unit": "${first}" }, the unit one of: ${listed(allowed)}.`
}

function typeHint(found: unknown, expected: string, path: MemberPath): string {
  if (found === null && path.length > 0) return ' Leave the member out when it was not recorded.'
  const isNumberAsText = typeof found === 'string' && found.trim() !== '' && Number.isFinite(Number(found))
  return expected === 'number' && isNumberAsText ? ' Write it without quotation marks.' : ''
}

function notInList({ value }: Reading, allowed: readonly string[], path: MemberPath): SchemaProblem {
  const found = valueAt(value, path)
  if (path.at(-1) === 'unit') return unknownUnit(allowed, path, found)
  if (found === undefined) {
    return absent(value, path, `one of: ${listed(allowed)}.`)
  }
  const meant = typeof found === 'string' ? didYouMean(found, allowed) : ''
  return problem('ERR_NOT_IN_LIST', path, `${printed(found)} is not known here.${meant} Allowed: ${listed(allowed)}.`)
}

function unknownUnit(allowed: readonly string[], path: MemberPath, found: unknown): SchemaProblem {
  if (found === undefined) {
    const detail = `The unit is missing; there is no default unit. Add one of: ${listed(allowed)}.`
    return problem('ERR_MISSING_MEMBER', path, detail)
  }
  const kind = kindOf((each) => listed(units[each]) === listed(allowed))
  const other = kindOf((each) => (units[each] as readonly unknown[]).includes(found))
  const here = kind === undefined ? '' : ` of ${named(kind)}`
  const what =
    other === undefined ? `is not a unit${here} known here` : `is a unit of ${named(other)}, not${here || ' of this'}`
  const meant = typeof found === 'string' && other === undefined ? didYouMean(found, allowed) : ''
  return problem('ERR_UNKNOWN_UNIT', path, `${printed(found)} ${what}.${meant} Allowed: ${listed(allowed)}.`)
}

function kindOf(isMeant: (kind: QuantityKind) => boolean): QuantityKind | undefined {
  return (Object.keys(units) as QuantityKind[]).find(isMeant)
}

function named(kind: QuantityKind): string {
  return kind.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`)
}

type Bounds = z.core.$ZodIssueTooBig | z.core.$ZodIssueTooSmall

function outOfBounds(issue: Bounds, path: MemberPath, found: unknown): SchemaProblem {
  const isTooBig = issue.code === 'too_big'
  if (issue.origin === 'array' || issue.origin === 'string') {
    const length = (found as { readonly length: number }).length
    const unit = issue.origin === 'array' ? 'elements' : 'characters'
    const bound = isTooBig ? `at most ${issue.maximum}` : `at least ${issue.minimum}`
    return problem(isTooBig ? 'ERR_TOO_MANY' : 'ERR_TOO_FEW', path, `There are ${length} ${unit}; ${bound} are read.`)
  }
  if (typeof found === 'number' && !Number.isFinite(found)) {
    return problem('ERR_NOT_FINITE', path, `${found} is not a finite number. Leave out what was not recorded.`)
  }
  const bound = isTooBig ? issue.maximum : issue.minimum
  const limit = `${issue.inclusive === true ? 'at or ' : ''}${isTooBig ? 'below' : 'above'} ${bound}`
  return problem('ERR_OUT_OF_RANGE', path, `${printed(found)} is out of range; it must be ${limit}.`)
}

function badText(pattern: string | undefined, path: MemberPath, found: unknown): SchemaProblem {
  const form = textForm(pattern)
  const length = typeof found === 'string' && found.length > 60 ? ` (${found.length} characters)` : ''
  const detail = `Found ${printed(found)}${length}; allowed is ${form?.allowed ?? 'another form'}.`
  return problem(form?.code ?? 'ERR_BAD_TEXT', path, detail)
}

/** Issues that the contract's own checks raise name their code, and a detail where the number alone does not say it. */
function ownIssue(
  params: Readonly<Record<string, unknown>> | undefined,
  path: MemberPath,
  found: unknown,
): SchemaProblem {
  const code = fieldProblemCodes.find((each) => each === params?.code) ?? 'ERR_WRONG_TYPE'
  if (code === 'ERR_NEGATIVE_ZERO') return problem(code, path, 'Found -0, a negative zero; write 0.')
  return problem(code, path, String(params?.detail ?? `${printed(found)} cannot be read here.`))
}
