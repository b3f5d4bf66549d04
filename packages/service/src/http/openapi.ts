/** The OpenAPI 3.1 document, made from the same table as the router. */
import {
  type HeaderObject,
  type MediaTypeObject,
  type OpenAPIObject,
  OpenApiBuilder,
  type OperationObject,
  type ParameterObject,
  type ResponseObject,
  type ResponsesObject,
  type SchemaObject,
} from 'openapi3-ts/oas31'
import type { AnswerFormat, Operation } from './operation.ts'
import { ownSchemas } from './own-schemas.ts'
import type { ParameterSet } from './parameter.ts'
import { type ProblemCode, problemCodes, problemTypes } from './problem.ts'
import { scopes } from './scope.ts'

/** What the document is made of besides the table. */
export interface DocumentParts {
  readonly operations: readonly Operation[]
  /** Schemas of the contract by name, with references to `#/components/schemas/`. */
  readonly contract: Readonly<Record<string, SchemaObject>>
}

const NDJSON = 'application/x-ndjson'

const VERSION = '0.1.0'

const DESCRIPTION =
  'Says whether a before/after comparison on a roller dynamometer is valid, what it supports, and signs the answer.\n\n' +
  'Every error is `application/problem+json` (RFC 9457) with a stable `code`. Every answer carries `X-Request-Id`, the ' +
  'one that was sent if it is 8 to 100 letters, digits and `._-`. Bodies are read strictly: unknown members and JSON ' +
  'with more than one meaning are refused. Besides the answers listed, an address may answer 400, 408 and 431 where ' +
  'the request is not HTTP as it should be, 404 where there is no such address, and 405 for another method. GET answers ' +
  'with an ETag take If-None-Match; every GET answers HEAD.'

const TAGS = [
  { name: 'Assessments', description: 'Comparisons and their signed summaries.' },
  { name: 'Summaries', description: 'Published summaries, readable by anybody.' },
  { name: 'Studies', description: 'How well a facility repeats: its studies, and the records they give.' },
  { name: 'Plans', description: 'Comparisons registered before their first run, and their runs.' },
  { name: 'Verification', description: 'What a signed summary is worth.' },
  { name: 'Protocols', description: 'What comparisons are judged by.' },
  { name: 'Service', description: 'The service itself.' },
] as const

/** The document of a table of operations. Pure. */
export function openApiDocument({ operations, contract }: DocumentParts): OpenAPIObject {
  const builder = OpenApiBuilder.create()
    .addOpenApiVersion('3.1.1')
    .addInfo({ title: 'Fairpull', version: VERSION, description: DESCRIPTION, license: LICENSE })
    .addSecurityScheme('apiKey', { type: 'http', scheme: 'bearer', description: scopeList() })
  for (const tag of TAGS) builder.addTag(tag)
  for (const address of new Set(operations.map((operation) => operation.address))) {
    const here = operations.filter((operation) => operation.address === address)
    builder.addPath(address, Object.fromEntries(here.map((each) => [each.method, describeOperation(each)])))
  }
  for (const [name, schema] of Object.entries({ ...contract, ...ownSchemas })) builder.addSchema(name, schema)
  return builder.getSpec()
}

const LICENSE = { name: 'Apache-2.0', identifier: 'Apache-2.0' }

function scopeList(): string {
  const lines = Object.entries(scopes).map(([scope, meaning]) => `- \`${scope}\`: ${meaning}`)
  return `An API key, \`fp_…\`. Its scopes:\n${lines.join('\n')}`
}

function describeOperation(operation: Operation): OperationObject {
  const { id, tag, summary, description, scope, body } = operation
  return {
    operationId: id,
    tags: [tag],
    summary,
    description: scope === null ? description : `${description}\n\nScope: \`${scope}\`.`,
    ...(operation.deprecation === undefined ? {} : { deprecated: true }),
    security: scope === null ? [] : [{ apiKey: [scope] }],
    parameters: [
      ...describeParameters('path', operation.path),
      ...describeParameters('query', operation.query),
      ...describeParameters('header', operation.header),
    ],
    ...(body === null
      ? {}
      : { requestBody: { required: true, content: content(bodyType(operation), body.schema, body.examples) } }),
    responses: describeResponses(operation),
  }
}

function describeParameters(place: 'path' | 'query' | 'header', parameters: ParameterSet): ParameterObject[] {
  return Object.entries(parameters).map(([name, { description, schema, example }]) => ({
    name,
    in: place,
    required: place === 'path',
    description,
    schema,
    ...(example === undefined ? {} : { example }),
  }))
}

/** Media type of what an operation takes and answers; of NDJSON the schema and the examples are those of one line. */
function bodyType({ eachLine }: Operation): string {
  return eachLine === undefined ? 'application/json' : NDJSON
}

function content(
  type: string,
  schema: string,
  examples: Readonly<Record<string, unknown>>,
): Record<string, MediaTypeObject> {
  const named = Object.entries(examples).map(([name, value]) => [name, { value }])
  return {
    [type]: {
      schema: { $ref: `#/components/schemas/${schema}` },
      ...(named.length === 0 ? {} : { examples: Object.fromEntries(named) }),
    },
  }
}

function describeResponses(operation: Operation): ResponsesObject {
  const responses: Record<string, ResponseObject> = {}
  for (const [status, answer] of Object.entries(operation.answers))
    responses[status] = describeAnswer(answer, operation)
  if (
    operation.method === 'get' &&
    Object.values(operation.answers).some(({ headers }) => headers?.etag !== undefined)
  ) {
    responses['304'] = { description: 'The body with the entity tag that was sent still holds.', headers: everyHeader }
  }
  for (const [status, codes] of codesByStatus(operation)) responses[status] = describeRefusals(codes)
  return responses
}

const everyHeader: Readonly<Record<string, HeaderObject>> = {
  'x-request-id': { description: 'Identity of the request.', required: true, schema: { type: 'string' } },
}

function describeAnswer(
  { description, schema, mediaType, also, headers = {}, example }: AnswerFormat,
  operation: Operation,
): ResponseObject {
  const own = Object.entries(headers).map(([name, meaning]) => [
    name,
    { description: meaning, schema: { type: 'string' } },
  ])
  return {
    description,
    headers: { ...everyHeader, ...Object.fromEntries(own) },
    content: {
      ...content(mediaType ?? bodyType(operation), schema, example === undefined ? {} : { example }),
      ...(also === undefined ? {} : content(also.mediaType, also.schema, {})),
    },
  }
}

function describeRefusals(codes: readonly ProblemCode[]): ResponseObject {
  const titles = codes.map((code) => `\`${code}\`: ${problemTypes[code].title}.`)
  return {
    description: titles.join(' '),
    headers: everyHeader,
    content: {
      'application/problem+json': {
        schema: {
          allOf: [
            { $ref: '#/components/schemas/Problem' },
            {
              properties: {
                code: { enum: [...codes] },
                status: { const: problemTypes[codes[0] ?? 'ERR_INTERNAL'].status },
              },
            },
          ],
        },
      },
    },
  }
}

/** Every refusal an operation may answer, by status: its own, and those that follow from how it is asked. */
function codesByStatus(operation: Operation): ReadonlyMap<string, readonly ProblemCode[]> {
  const possible = new Set<ProblemCode>([...operation.refusals, ...impliedRefusals(operation)])
  const byStatus = new Map<string, readonly ProblemCode[]>()
  for (const code of problemCodes.filter((each) => possible.has(each))) {
    const status = String(problemTypes[code].status)
    byStatus.set(status, [...(byStatus.get(status) ?? []), code])
  }
  return byStatus
}

function impliedRefusals({ scope, path, body, eachLine, whileDraining }: Operation): readonly ProblemCode[] {
  return [
    'ERR_PARAMETER',
    'ERR_INTERNAL',
    ...(whileDraining === true ? [] : (['ERR_DRAINING'] as const)),
    ...(Object.keys(path).length === 0 ? [] : (['ERR_NOT_FOUND'] as const)),
    ...(scope === null
      ? []
      : ([
          'ERR_UNAUTHENTICATED',
          'ERR_SCOPE',
          'ERR_RATE_LIMITED',
          'ERR_STORE_UNAVAILABLE',
          'ERR_STORE_FULL',
          'ERR_LOG_STOPPED',
          'ERR_BUSY',
        ] as const)),
    ...(eachLine === undefined ? [] : (['ERR_MEDIA_TYPE'] as const)),
    ...(body === null || eachLine !== undefined
      ? []
      : ([
          'ERR_REQUEST_MALFORMED',
          'ERR_JSON',
          'ERR_BODY_TOO_LARGE',
          'ERR_MEDIA_TYPE',
          'ERR_BODY_INVALID',
          'ERR_BUSY',
        ] as const)),
  ]
}
