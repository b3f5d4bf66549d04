/** JSON Schema (2020-12) of the contract, made from the schemas that read it and the comments that explain it. */
import * as z from 'zod/mini'
import { channelBase64, MAX_BASE64, MAX_SAMPLES } from './channels-schema.ts'
import { comparisonSchema } from './comparison-schema.ts'
import type { ContractDocs } from './contract-docs.ts'
import { planRequestSchema } from './plan-schema.ts'
import { problemSchema } from './problem-schema.ts'
import { protocolSchema } from './protocol-schema.ts'
import { planCountersSchema, planRecordSchema, runLoggedSchema, runReceiptSchema } from './receipt-schema.ts'
import { resultSchema } from './result-schema.ts'
import { runCheckReportSchema, runCheckRequestSchema } from './run-check-schema.ts'
import { sampleSizeReportSchema, sampleSizeRequestSchema } from './sample-size-schema.ts'
import { MAX_NUMBER, schemaNames } from './schema-parts.ts'
import { registeredStudySchema, studyChartsSchema, studyResultSchema, studySchema } from './study-schema.ts'
import { dryRunSchema, issuedSummarySchema, summaryPayloadSchema } from './summary-schema.ts'

/** A JSON Schema, or a part of one. */
export type JsonSchema = { readonly [keyword: string]: unknown }

/** The documents of the contract and what reads each. */
const documents = {
  comparison: { title: 'Comparison', schema: comparisonSchema },
  result: { title: 'Result', schema: resultSchema },
  'summary-payload': { title: 'Summary payload', schema: summaryPayloadSchema },
  'issued-summary': { title: 'Issued summary', schema: issuedSummarySchema },
  problem: { title: 'Problem', schema: problemSchema },
  protocol: { title: 'Protocol', schema: protocolSchema },
  plan: { title: 'Plan', schema: planRequestSchema },
  'plan-record': { title: 'Record of a plan', schema: planRecordSchema },
  'plan-counters': { title: 'Counters of plans', schema: planCountersSchema },
  'run-check-request': { title: 'Run to be checked', schema: runCheckRequestSchema },
  'run-check-report': { title: 'Report on one run', schema: runCheckReportSchema },
  study: { title: 'Repeatability study', schema: studySchema },
  'study-result': { title: 'What a repeatability study shows', schema: studyResultSchema },
  'registered-study': { title: 'Registered repeatability study', schema: registeredStudySchema },
  'study-charts': { title: 'Control charts of repeatability studies', schema: studyChartsSchema },
  'sample-size-request': { title: 'Question for a sample size', schema: sampleSizeRequestSchema },
  'sample-size-report': { title: 'Answer to a question for a sample size', schema: sampleSizeReportSchema },
  'run-receipt': { title: 'Receipt of a run', schema: runReceiptSchema },
  'run-logged': { title: 'Answer to a logged run', schema: runLoggedSchema },
} as const

/** Name of a document of the contract. */
export type DocumentName = keyof typeof documents

/**
 * One JSON Schema per document of the contract, with `$id` and `$defs`.
 *
 * A negative zero, which JSON Schema cannot tell from 0, is the only number the schemas accept and a reader refuses.
 *
 * @param docs comments of the contract's types
 * @throws TypeError when a type or a member has no comment.
 */
export function jsonSchemas(docs: ContractDocs): Readonly<Record<DocumentName, JsonSchema>> {
  const made = Object.entries(documents).map(([name, { title, schema }]) => {
    const { $schema, $defs, ...rest } = converted(schema, docs)
    return [name, { $schema, $id: `urn:fairpull:schema:${name}`, title, ...rest, $defs }]
  })
  return Object.fromEntries(made)
}

/**
 * Every named schema of the contract, for `components/schemas` of an OpenAPI 3.1 document.
 *
 * @param docs comments of the contract's types; without them the schemas carry no descriptions
 * @returns schemas by name, in alphabetical order; they refer to each other as `#/components/schemas/Name`.
 * @throws TypeError when `docs` lacks a type or a member.
 */
export function componentSchemas(docs?: ContractDocs): Readonly<Record<string, JsonSchema>> {
  const roots = [
    ...Object.values(documents).map(({ schema }) => schema),
    dryRunSchema,
    planRecordSchema,
    runLoggedSchema,
    planCountersSchema,
  ]
  const named = roots.flatMap((schema) => Object.entries(converted(schema, docs).$defs as JsonSchema))
  const text = JSON.stringify(Object.fromEntries(named.sort(([a], [b]) => (a < b ? -1 : 1))))
  return JSON.parse(text.replaceAll('"#/$defs/', '"#/components/schemas/'))
}

function converted(schema: z.ZodMiniType, docs: ContractDocs | undefined): JsonSchema {
  const made = z.toJSONSchema(schema, {
    target: 'draft-2020-12',
    io: 'input',
    metadata: schemaNames,
    // The only custom schema of the contract is the list of a channel.
    unrepresentable: ({ zodSchema }) => (zodSchema._zod.def.type === 'custom' ? numberList : 'throw'),
    override: ({ zodSchema, jsonSchema }) => {
      if (zodSchema === channelBase64) Object.assign(jsonSchema, base64Text)
    },
  })
  return tidied(JSON.parse(JSON.stringify(made)), docs, '')
}

const numberList: z.core.JSONSchema.BaseSchema = {
  type: 'array',
  items: { type: 'number', minimum: -MAX_NUMBER, maximum: MAX_NUMBER },
  minItems: 1,
  maxItems: MAX_SAMPLES,
}

/** Three float64 are 24 bytes, 32 digits; a rest of one or two ends in padding. */
const base64Text: z.core.JSONSchema.BaseSchema = {
  type: 'string',
  minLength: 12,
  maxLength: MAX_BASE64,
  pattern: '^(?:[A-Za-z0-9+/]{32})*(?:[A-Za-z0-9+/]{10}[AEIMQUYcgkosw048]=|[A-Za-z0-9+/]{21}[AQgw]==)?$',
  contentEncoding: 'base64',
}

/** Described from the comments, without what only the generator needs. */
function tidied(schema: JsonSchema, docs: ContractDocs | undefined, place: string): JsonSchema {
  const { id: _id, of, ...keywords } = schema
  const described = typeof of === 'string' ? { ...keywords, ...descriptions(keywords, of, docs) } : keywords
  if (docs !== undefined && of === undefined && 'properties' in schema) {
    throw new TypeError(`${place}: no type of the contract documents these members`)
  }
  const parts = Object.entries(described).map(([keyword, part]) => [keyword, tidiedPart(keyword, part, docs, place)])
  return namedMembers(singleTypes(Object.fromEntries(parts)))
}

/** A record of a closed list of names says the same as an object with these members, and strict validators take it. */
function namedMembers(schema: JsonSchema): JsonSchema {
  const { propertyNames, additionalProperties, ...rest } = schema
  const names = (propertyNames as { readonly enum?: readonly string[] } | undefined)?.enum
  if (names === undefined) return schema
  return { ...rest, properties: Object.fromEntries(names.map((name) => [name, additionalProperties])) }
}

function tidiedPart(keyword: string, part: unknown, docs: ContractDocs | undefined, place: string): unknown {
  const here = `${place}/${keyword}`
  if (keyword === 'properties' || keyword === '$defs') {
    const inside = Object.entries(part as Readonly<Record<string, JsonSchema>>)
    const possible = inside.filter(([, member]) => !('not' in member))
    return Object.fromEntries(possible.map(([name, member]) => [name, tidied(member, docs, `${here}/${name}`)]))
  }
  if (keyword === 'anyOf' || keyword === 'oneOf') {
    return (part as readonly JsonSchema[]).map((each, index) => tidied(each, docs, `${here}/${index}`))
  }
  const isSchema = keyword === 'items' || keyword === 'additionalProperties'
  return isSchema && typeof part === 'object' ? tidied(part as JsonSchema, docs, here) : part
}

/** A list of types in one keyword is more than strict validators take; a choice says the same. */
function singleTypes(schema: JsonSchema): JsonSchema {
  const { type, ...rest } = schema
  return Array.isArray(type) ? { ...rest, anyOf: type.map((each: unknown) => ({ type: each })) } : schema
}

/** The description of a type, and its members with theirs. */
function descriptions(keywords: JsonSchema, of: string, docs: ContractDocs | undefined): JsonSchema {
  if (docs === undefined) return {}
  const doc = docs[of]
  if (doc === undefined || doc.description === '') throw new TypeError(`the type ${of} has no comment`)
  const { properties } = keywords
  if (properties === undefined) return { description: doc.description }
  const members = Object.entries(properties as Readonly<Record<string, JsonSchema>>).map(([name, member]) => {
    const description = doc.members[name]
    if (!description) throw new TypeError(`the member ${of}.${name} has no comment`)
    return [name, { ...member, description }]
  })
  return { description: doc.description, properties: Object.fromEntries(members) }
}
