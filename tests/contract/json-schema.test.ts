/** The JSON Schemas say what the schemas of the contract read, and are the committed ones. */
import { readFileSync } from 'node:fs'
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js'
import { describe, expect, test } from 'vitest'
import type * as z from 'zod/mini'
import { contractDocs } from '../../packages/sdk/src/contract/contract-docs.ts'
import { componentSchemas, type DocumentName, jsonSchemas } from '../../packages/sdk/src/contract/json-schema.ts'
import {
  comparisonSchema,
  issuedSummarySchema,
  planCountersSchema,
  planRecordSchema,
  planRequestSchema,
  problemSchema,
  protocolSchema,
  registeredStudySchema,
  resultSchema,
  runCheckReportSchema,
  runCheckRequestSchema,
  runLoggedSchema,
  runReceiptSchema,
  sampleSizeReportSchema,
  sampleSizeRequestSchema,
  studyChartsSchema,
  studyResultSchema,
  studySchema,
  summaryPayloadSchema,
} from '../../packages/sdk/src/contract/schemas.ts'
import { fullIssuedSummary, fullPayload, fullProblem, fullProtocol, fullResult } from './answer-fixture.ts'
import { changed, type Draft, fullComparison, smallComparison } from './comparison-fixture.ts'
import { committedDocs } from './contract-sources.ts'
import { fullPlanCounters, fullPlanRecord, fullPlanRequest, fullReceipt, fullRunLogged } from './plan-fixture.ts'

import { fullRunCheckReport, fullRunCheckRequest } from './run-check-fixture.ts'
import { fullSampleSizeReport, fullSampleSizeRequest } from './sample-size-fixture.ts'
import { fullRegisteredStudy, fullStudy, fullStudyCharts, fullStudyResult } from './study-fixture.ts'

const docs = committedDocs()
const schemas = jsonSchemas(docs)

interface Document {
  readonly name: DocumentName
  readonly schema: z.ZodMiniType
  readonly example: Draft
}

const documents: readonly Document[] = [
  { name: 'comparison', schema: comparisonSchema, example: fullComparison() },
  { name: 'result', schema: resultSchema, example: fullResult() },
  { name: 'summary-payload', schema: summaryPayloadSchema, example: fullPayload() },
  { name: 'issued-summary', schema: issuedSummarySchema, example: fullIssuedSummary() },
  { name: 'problem', schema: problemSchema, example: fullProblem() },
  { name: 'protocol', schema: protocolSchema, example: fullProtocol() },
  { name: 'plan', schema: planRequestSchema, example: fullPlanRequest() },
  { name: 'plan-record', schema: planRecordSchema, example: fullPlanRecord() },
  { name: 'plan-counters', schema: planCountersSchema, example: fullPlanCounters() },
  { name: 'run-receipt', schema: runReceiptSchema, example: fullReceipt() },
  { name: 'run-check-request', schema: runCheckRequestSchema, example: fullRunCheckRequest() },
  { name: 'run-check-report', schema: runCheckReportSchema, example: fullRunCheckReport() },
  { name: 'study', schema: studySchema, example: fullStudy() },
  { name: 'study-result', schema: studyResultSchema, example: fullStudyResult() },
  { name: 'registered-study', schema: registeredStudySchema, example: fullRegisteredStudy() },
  { name: 'study-charts', schema: studyChartsSchema, example: fullStudyCharts() },
  { name: 'sample-size-request', schema: sampleSizeRequestSchema, example: fullSampleSizeRequest() },
  { name: 'sample-size-report', schema: sampleSizeReportSchema, example: fullSampleSizeReport() },
  { name: 'run-logged', schema: runLoggedSchema, example: fullRunLogged() },
]

/** A validator that takes nothing it does not know: strict mode throws on unknown keywords and loose types. */
function compiled(name: DocumentName): ValidateFunction {
  return new Ajv2020({ strict: true }).compile({ ...schemas[name] })
}

/** Every place in a JSON value, as the steps down to it. */
function placesIn(value: unknown, path: readonly (string | number)[] = []): readonly (readonly (string | number)[])[] {
  if (typeof value !== 'object' || value === null) return [path]
  const steps = Array.isArray(value) ? [...value.keys()] : Object.keys(value)
  return [path, ...steps.flatMap((step) => placesIn(Reflect.get(value, step), [...path, step]))]
}

/** Places of an example that are tried; what stands inside a result is tried with the result itself. */
function triedPlaces(example: Draft): readonly (readonly (string | number)[])[] {
  return placesIn(example).filter((place) => !place.slice(0, -1).includes('result'))
}

/** The value with another one at a place; without the place when there is none to put there. */
function withAt(value: unknown, [step, ...rest]: readonly (string | number)[], other: unknown): unknown {
  if (step === undefined) return other
  const copy: object = Array.isArray(value) ? [...value] : { ...(value as Draft) }
  if (rest.length > 0) Reflect.set(copy, step, withAt(Reflect.get(copy, step), rest, other))
  else if (other === undefined && !Array.isArray(copy)) Reflect.deleteProperty(copy, step)
  else Reflect.set(copy, step, other ?? null)
  return copy
}

const intruders: readonly unknown[] = [undefined, null, true, '', 'word', -1, 0, 1.5, 1e300, [], [1], {}, { value: 1 }]

describe.each(documents)('the JSON Schema of $name', ({ name, schema, example }) => {
  const validate = compiled(name)

  test('is strict JSON Schema 2020-12 with an identity of its own', () => {
    expect(schemas[name]).toMatchObject({
      $schema: 'https://json-schema.org/draft/2020-12/schema',
      $id: `urn:fairpull:schema:${name}`,
    })
    expect(new Ajv2020({ strict: true }).validateSchema({ ...schemas[name] })).toBe(true)
  })

  test('takes a document with every member, as the reader does', () => {
    expect(validate(example), JSON.stringify(validate.errors)).toBe(true)
    expect(schema.safeParse(example).success).toBe(true)
  })

  test('agrees with the reader about every member taken out or replaced', () => {
    const disagreements = triedPlaces(example).flatMap((place) =>
      intruders
        .filter((other) => {
          const value = withAt(example, place, other)
          return validate(value) !== schema.safeParse(value).success
        })
        .map((other) => `/${place.join('/')} = ${JSON.stringify(other)}`),
    )
    expect(disagreements).toEqual([])
  })

  test('refuses at least one replacement of every place', () => {
    const careless = triedPlaces(example).filter((place) =>
      intruders.every((other) => validate(withAt(example, place, other))),
    )
    expect(careless).toEqual([])
  })

  test('describes every type and every member', () => {
    const undescribed: string[] = []
    visit(schemas[name].$defs, (here, path) => {
      if ('properties' in here && here.description === undefined) undescribed.push(path)
    })
    expect(undescribed).toEqual([])
  })

  test('refers to nothing that it does not define, and defines nothing that it does not refer to', () => {
    const text = JSON.stringify(schemas[name])
    const referred = new Set([...text.matchAll(/"#\/\$defs\/(\w+)"/g)].map((match) => match[1]))
    expect([...referred].sort()).toEqual(Object.keys(schemas[name].$defs as Draft).sort())
  })

  test('is the committed file', () => {
    const file = new URL(`../../schemas/${name}.schema.json`, import.meta.url)
    expect(readFileSync(file, 'utf8')).toBe(`${JSON.stringify(schemas[name], null, 2)}\n`)
  })
})

/** Calls back for every object in a JSON value. */
function visit(value: unknown, callback: (here: Draft, path: string) => void, path = ''): void {
  if (typeof value !== 'object' || value === null) return
  if (!Array.isArray(value)) callback(value, path)
  for (const [step, member] of Object.entries(value)) visit(member, callback, `${path}/${step}`)
}

describe('the comparison in particular', () => {
  const validate = compiled('comparison')

  test.each([
    ['the smallest comparison', smallComparison(), true],
    ['an unknown member', { ...smallComparison(), note: 'x' }, false],
    ['an empty channel', changed('/runs/0/channels/time/values', []), false],
    ['both forms of a channel', changed('/runs/0/channels/time/base64', 'AAAAAAAAAAA='), false],
    ['base64 of one number', changed('/runs/0/channels/time', { unit: 's', base64: 'AAAAAAAAAAA=' }), true],
    [
      'base64 of two numbers',
      changed('/runs/0/channels/time', { unit: 's', base64: 'AAAAAAAAAAAAAAAAAAAAAA==' }),
      true,
    ],
    ['base64 of three numbers', changed('/runs/0/channels/time', { unit: 's', base64: 'A'.repeat(32) }), true],
    ['base64 of nine bytes', changed('/runs/0/channels/time', { unit: 's', base64: 'AAAAAAAAAAAA' }), false],
    ['base64 with stray bits', changed('/runs/0/channels/time', { unit: 's', base64: 'AAAAAAAAAAB=' }), false],
    ['29 February of a common year', changed('/facility/record/on', '2025-02-29'), false],
    ['a label of 200 characters beyond U+FFFF', changed('/mountings/0/setup/tune', '𝄞'.repeat(200)), true],
    ['a label of 201 characters', changed('/mountings/0/setup/tune', 'x'.repeat(201)), false],
    ['1,001 runs', { ...smallComparison(), runs: Array(1001).fill(smallComparison().runs[0]) }, false],
  ])('%s', (_, value, isTaken) => {
    expect(validate(value)).toBe(isTaken)
    expect(comparisonSchema.safeParse(value).success).toBe(isTaken)
  })
})

test('answers of a later version, with members that nobody knows yet, are read without them', () => {
  const later: Draft = { ...fullResult(), later: 1, findings: [{ ...fullResult().findings[0], later: 1 }] }
  later.claims[0].over.later = 1
  expect(compiled('result')(later)).toBe(true)
  expect(resultSchema.parse(later)).toEqual(fullResult())
})

describe('components of the OpenAPI document', () => {
  test('hold every type of every document, and refer to each other', () => {
    const components = componentSchemas(docs)
    const defined = documents.flatMap(({ name }) => Object.keys(schemas[name].$defs as Draft))
    expect(Object.keys(components)).toEqual([...new Set([...defined, 'DryRun'])].sort())
    const text = JSON.stringify(components)
    const referred = new Set([...text.matchAll(/"\$ref":"([^"]+)"/g)].map((match) => match[1] ?? ''))
    const dangling = [...referred].filter((ref) => !(ref.replace('#/components/schemas/', '') in components))
    expect(dangling).toEqual([])
  })

  test('are the same without comments, but for the descriptions', () => {
    const withoutDescriptions = JSON.parse(JSON.stringify(componentSchemas(docs)), (name, value) =>
      name === 'description' && typeof value === 'string' ? undefined : value,
    )
    expect(componentSchemas()).toEqual(withoutDescriptions)
  })
})

describe('comments of the contract', () => {
  const source = [
    '/** A point. */',
    'export interface Point extends Base {',
    '  /**',
    '   * Across.',
    '   * [m]',
    '   */',
    '  readonly x: number',
    '  readonly bare: number',
    '  /** Where. */',
    '  readonly at: {',
    '    /** Which. */',
    '    readonly side: string',
    '  }',
    '  /** Last. */',
    '  readonly last?: string',
    '}',
    '/** Base. */',
    'export interface Base {',
    '  /** Id. */',
    '  readonly id: string',
    '}',
    '/** Either. */',
    'export type Choice =',
    '  | { readonly one: string; readonly two?: never }',
    '  | { readonly two: string; readonly one?: never }',
    '/** Not exported by type. */',
    'export const other = 1',
  ].join('\n')

  test('are read per type and member, inherited ones and members written in place included', () => {
    expect(contractDocs([source])).toEqual({
      Point: {
        description: 'A point.',
        members: { id: 'Id.', x: 'Across. [m]', bare: '', at: 'Where.', last: 'Last.' },
      },
      'Point.at': { description: 'Where.', members: { side: 'Which.' } },
      Base: { description: 'Base.', members: { id: 'Id.' } },
      Choice: { description: 'Either.', members: { one: 'Either.', two: 'Either.' } },
    })
  })

  test('a member without one stops the generator, by name', () => {
    const members = { ...docs.Run?.members, gear: '', id: '' }
    const broken = { ...docs, Run: { description: 'A run.', members } }
    expect(() => jsonSchemas(broken)).toThrow('Run.id has no comment')
    const { Run: _, ...missing } = docs
    expect(() => jsonSchemas(missing)).toThrow('the type Run has no comment')
  })
})
