/**
 * The documentation of the API: one page without a script, made from the OpenAPI document.
 *
 * Why it is a page of our own: packages/service/docs/adr/0032-api-docs.md.
 */
import type {
  MediaTypeObject,
  OpenAPIObject,
  OperationObject,
  ParameterObject,
  RequestBodyObject,
  ResponseObject,
  SchemaObject,
} from 'openapi3-ts/oas31'
import { type Markup, markup } from '../markup.ts'
import { type Page, page, section } from '../page.ts'
import { pageStyle, squeezed } from '../page-style.ts'
import { inline, prose } from '../prose.ts'
import { docsWords as words } from '../words/docs-words.ts'
import { formOf, type Schema, schemaId } from './schema-text.ts'
import { shellExample } from './shell-example.ts'

const STYLE = `
.method{font-weight:700;text-transform:uppercase;margin-right:.35rem}
.operation{margin:1.75rem 0}
.operation h3{font-size:1.05rem}
h4{font-size:.95rem;margin:1rem 0 .25rem}
nav ul{columns:2;padding-left:1.1rem}
@media (max-width:34rem){nav ul{columns:1}}
`

/** An operation with its place in the document. */
interface Placed {
  readonly address: string
  readonly method: 'get' | 'post'
  readonly operation: OperationObject
}

/** The page. The same document gives the same bytes. Pure. */
export function docsPage(document: OpenAPIObject): Page {
  const operations = operationsOf(document)
  return page({
    title: words.title,
    language: words.language,
    style: pageStyle() + squeezed(STYLE),
    body: markup`<main>
<h1>${document.info.title}: ${words.title}</h1>
<p>${inline(words.lead)}</p>
<pre tabindex="0">${words.shell('http://127.0.0.1:8080')}</pre>
${prose(document.info.description ?? '')}
${contents(operations)}
${(document.tags ?? []).map(({ name, description }) =>
  section(
    `tag-${name}`,
    name,
    markup`<p>${description}</p>`,
    ...operations.filter(({ operation }) => operation.tags?.includes(name)).map(operationPart),
  ),
)}
${keysSection(document)}
${section('schemas', words.schemas, ...Object.entries(document.components?.schemas ?? {}).map(([name, schema]) => schemaPart(name, schema)))}
</main>`,
  })
}

function operationsOf({ paths = {} }: OpenAPIObject): readonly Placed[] {
  return Object.entries(paths).flatMap(([address, item]) =>
    (['post', 'get'] as const).flatMap((method) => {
      const operation = item[method]
      return operation === undefined ? [] : [{ address, method, operation }]
    }),
  )
}

function contents(operations: readonly Placed[]): Markup {
  return markup`<nav aria-labelledby="contents"><h2 id="contents">${words.contents}</h2><ul>${operations.map(
    ({ operation }) => markup`<li><a href="#${operation.operationId}">${operation.summary}</a></li>`,
  )}</ul></nav>`
}

function operationPart({ address, method, operation }: Placed): Markup {
  const { operationId, summary, description = '', security = [], requestBody } = operation
  const takesKey = security.length > 0
  const [[mediaType, json] = ['', undefined]] = Object.entries(
    (requestBody as RequestBodyObject | undefined)?.content ?? {},
  )
  const parameters = (operation.parameters ?? []) as readonly ParameterObject[]
  const shown = { method, address, takesKey, query: exampleQuery(parameters) }
  const examples = Object.entries(json?.examples ?? {}).map(
    ([name, example]) => [name, 'value' in example ? example.value : undefined] as const,
  )
  return markup`<article class="operation" aria-labelledby="${operationId}">
<h3 id="${operationId}">${summary}</h3>
<p><span class="method">${method}</span><code>${address}</code></p>
${prose(description)}${takesKey ? null : markup`<p>${words.anybody}</p>`}
${parametersPart(parameters)}
${json === undefined ? null : markup`<h4>${words.body}</h4><p>${formOfContent(json)}</p>`}
${(examples.length === 0 ? [['', undefined] as const] : examples).map(([name, body]) => markup`<h4>${words.example(name)}</h4><pre class="runs" tabindex="0">${shellExample(body === undefined ? shown : { ...shown, body, mediaType })}</pre>`)}
${answersPart(operation)}
</article>
`
}

/** Query parameters that have an example have to be given. */
function exampleQuery(parameters: readonly ParameterObject[]): Readonly<Record<string, string>> {
  return Object.fromEntries(
    parameters.flatMap(({ name, in: place, example }) =>
      place === 'query' && typeof example === 'string' ? [[name, example]] : [],
    ),
  )
}

function parametersPart(parameters: readonly ParameterObject[]): Markup | null {
  if (parameters.length === 0) return null
  const places: Readonly<Record<string, string>> = { path: words.path, query: words.query, header: words.header }
  return markup`<h4>${words.parameters}</h4>
<div class="scroll" tabindex="0" role="region" aria-label="${words.parameters}"><table><thead><tr><th scope="col">${words.name}</th><th scope="col">${words.place}</th><th scope="col">${words.form}</th><th scope="col">${words.meaning}</th></tr></thead>
<tbody>${parameters.map(
    ({
      name,
      in: place,
      schema,
      description = '',
    }) => markup`<tr><th scope="row"><code>${name}</code></th><td>${places[place]}</td><td>${schema === undefined ? null : formOf(schema)}</td><td>${inline(description)}</td></tr>
`,
  )}</tbody></table></div>`
}

function answersPart({ responses = {} }: OperationObject): Markup {
  const rows = Object.entries(responses as Readonly<Record<string, ResponseObject>>)
  return markup`<h4>${words.answers}</h4>
<div class="scroll" tabindex="0" role="region" aria-label="${words.answers}"><table><thead><tr><th scope="col">${words.status}</th><th scope="col">${words.meaning}</th><th scope="col">${words.holds}</th></tr></thead>
<tbody>${rows.map(
    ([
      status,
      { description, content = {} },
    ]) => markup`<tr><th scope="row">${status}</th><td>${inline(description)}</td><td>${Object.entries(content).map(([type, media]) => markup`<div><code>${type}</code> ${type.includes('problem') ? markup`<a href="#${schemaId('Problem')}">Problem</a>` : formOfContent(media)}</div>`)}</td></tr>
`,
  )}</tbody></table></div>`
}

function formOfContent({ schema }: MediaTypeObject): ReturnType<typeof formOf> {
  return schema === undefined ? null : formOf(schema)
}

function keysSection({ components }: OpenAPIObject): Markup {
  const schemes = Object.values(components?.securitySchemes ?? {})
  return section(
    'keys',
    words.keys,
    ...schemes.map((scheme) =>
      'description' in scheme ? prose((scheme.description ?? '').replace('\n', '\n\n')) : null,
    ),
  )
}

function schemaPart(name: string, schema: Schema): Markup {
  const { description = '', properties, required = [] } = schema as SchemaObject
  const members = Object.entries(properties ?? {})
  const form = members.length === 0 ? markup`<p>${formOf(schema)}</p>` : null
  return markup`<h3 id="${schemaId(name)}">${name}</h3>
${prose(description)}${form}${members.length === 0 ? null : membersTable(name, members, required)}
`
}

function membersTable(
  name: string,
  members: readonly (readonly [string, Schema])[],
  required: readonly string[],
): Markup {
  return markup`<div class="scroll" tabindex="0" role="region" aria-label="${name}"><table><thead><tr><th scope="col">${words.members}</th><th scope="col">${words.form}</th><th scope="col">${words.meaning}</th></tr></thead>
<tbody>${members.map(
    ([
      member,
      schema,
    ]) => markup`<tr><th scope="row"><code>${member}</code></th><td>${formOf(schema)}</td><td>${inline((schema as SchemaObject).description ?? '')} <span class="quiet">${required.includes(member) ? words.required : words.optional}</span></td></tr>
`,
  )}</tbody></table></div>`
}
