/** Holds answers of the service against its OpenAPI document: status, media type, required header fields, body. */
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js'
import type { OpenAPIObject, ResponseObject } from 'openapi3-ts/oas31'

/** An answer with the request it belongs to. */
export interface Exchange {
  readonly method: string
  /** Path without query. */
  readonly path: string
  readonly response: Response
}

/** A document that answers are held against. */
export interface AnswerCheck {
  /** Throws, with what is wrong, when the answer is not in the document. The body of `response` is left to be read. */
  expectDocumented(exchange: Exchange): Promise<void>
  /** Every operation as `get /path`, with the statuses that answers were seen of. */
  readonly seen: ReadonlyMap<string, ReadonlySet<string>>
}

/** Answers that any request may get, documented once in the description of the service. */
const ANYWHERE = new Set(['400', '404', '405', '408', '431'])

/** Reads a document for checking. */
export function createAnswerCheck(document: OpenAPIObject): AnswerCheck {
  const ajv = new Ajv2020({ strict: false, allErrors: true, validateFormats: false })
  ajv.addSchema({ $id: 'urn:fairpull:document', ...document })
  const compiled = new Map<string, ValidateFunction>()
  const seen = new Map<string, Set<string>>()
  const validator = (pointer: string): ValidateFunction => {
    const known = compiled.get(pointer) ?? ajv.compile({ $ref: `urn:fairpull:document#${pointer}` })
    compiled.set(pointer, known)
    return known
  }
  return {
    seen,
    expectDocumented: async ({ method, path, response }) => {
      const asked = method === 'HEAD' ? 'get' : method.toLowerCase()
      const address = addressOf(document, path)
      const what = `${method} ${path} -> ${response.status}`
      const status = String(response.status)
      const operation = address === undefined ? undefined : document.paths?.[address]?.[asked as 'get' | 'post']
      const documented = operation?.responses?.[status] as ResponseObject | undefined
      if (documented === undefined) {
        if (!ANYWHERE.has(status)) throw new Error(`${what}: the document has no such answer`)
        if (method === 'HEAD') return
        return expectValid(validator('/components/schemas/Problem'), await jsonOf(response), what)
      }
      seen.set(`${asked} ${address}`, (seen.get(`${asked} ${address}`) ?? new Set()).add(status))
      expectHeaders(documented, response, what)
      if (documented.content === undefined || method === 'HEAD') return
      const type = response.headers.get('content-type') ?? ''
      if (documented.content[type] === undefined)
        throw new Error(`${what}: the document knows no body of type "${type}"`)
      const steps = ['paths', address ?? '', asked, 'responses', status, 'content', type, 'schema']
      const validate = validator(`/${steps.map(escaped).join('/')}`)
      for (const value of await valuesOf(response, type)) expectValid(validate, value, what)
    },
  }
}

function addressOf(document: OpenAPIObject, path: string): string | undefined {
  return Object.keys(document.paths ?? {}).find((address) => {
    const pattern = address
      .replaceAll('.', '\\.')
      .replace(/\{tile\}$/, '.+')
      .replaceAll(/\{\w+\}/g, '[^/]+')
    return new RegExp(`^${pattern}$`).test(path)
  })
}

function expectHeaders(documented: ResponseObject, response: Response, what: string): void {
  for (const [name, header] of Object.entries(documented.headers ?? {})) {
    const isRequired = 'required' in header && header.required === true
    if (isRequired && !response.headers.has(name)) throw new Error(`${what}: the header field ${name} is missing`)
  }
}

function expectValid(validate: ValidateFunction, value: unknown, what: string): void {
  if (!validate(value)) throw new Error(`${what}: ${JSON.stringify(validate.errors, null, 2)}`)
}

/** The JSON value of a body, each one of NDJSON, or the text of what is neither. */
async function valuesOf(response: Response, type: string): Promise<readonly unknown[]> {
  if (/^application\/(.*\+)?json$/.test(type)) return [await jsonOf(response)]
  const text = await response.clone().text()
  if (type !== 'application/x-ndjson') return [text]
  return text
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line))
}

async function jsonOf(response: Response): Promise<unknown> {
  return JSON.parse(await response.clone().text())
}

/** One step of a JSON Pointer inside a URI fragment. */
function escaped(step: string): string {
  return encodeURIComponent(step.replaceAll('~', '~0').replaceAll('/', '~1'))
}
