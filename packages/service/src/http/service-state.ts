/** What operators and tools ask about the service itself. */
import { problemPage } from '../report/docs/problem-page.ts'
import { caching, jsonBytes, ok, okTagged } from './answer.ts'
import { operation } from './operation.ts'
import { HTML_TYPE, pageAnswer } from './page-answers.ts'
import { anyText, textLike } from './parameter.ts'
import { problemCodes, problemSlug, problemTypes, refuse } from './problem.ts'

const plain = { method: 'get', tag: 'Service', scope: null, path: {}, query: {}, header: {}, body: null } as const

/** GET /livez: 200 for as long as the process answers at all. */
export const getLiveness = operation({
  ...plain,
  id: 'getLiveness',
  address: '/livez',
  summary: 'Is the process alive',
  description: 'Answers 200 for as long as the process answers at all. Restart it when it does not.',
  answers: { 200: { description: 'It is.', schema: 'Health', example: { status: 'live' } } },
  refusals: [],
  whileDraining: true,
  handle: async () => ok(jsonBytes({ status: 'live' })),
})

/** GET /readyz: 200 while requests are worth sending here; a stopped log still lets everything be read. */
export const getReadiness = operation({
  ...plain,
  id: 'getReadiness',
  address: '/readyz',
  summary: 'Is the service ready',
  description:
    'Answers 200 when the database takes writes and the service is not shutting down. `reads-only`: the log is stopped, `log` ' +
    'says why, what is stored can be read, and nothing is signed until the operator has run `fairpull-service log check` and ' +
    '`fairpull-service log resume`.',
  answers: { 200: { description: 'It is.', schema: 'Health', example: { status: 'ready' } } },
  refusals: ['ERR_STORE_UNAVAILABLE', 'ERR_LOG_STOPPED'],
  handle: async (_request, { useCases }) => {
    return ok(jsonBytes(await useCases.readiness()))
  },
})

/** GET /openapi.json: this document. */
export const getOpenApi = operation({
  ...plain,
  id: 'getOpenApi',
  address: '/openapi.json',
  summary: 'Read this document',
  description: 'The OpenAPI 3.1 document of this service.',
  answers: { 200: { description: 'This document.', schema: 'OpenApiDocument', headers: { etag: 'Entity tag.' } } },
  refusals: [],
  handle: async (_request, { document }) => okTagged(document(), caching.shared),
})

/** GET /problems/{slug}: what a type of error answer means. */
export const getProblemType = operation({
  ...plain,
  id: 'getProblemType',
  address: '/problems/{slug}',
  summary: 'Read what an error means',
  description: 'The page behind the `type` of an error answer.',
  path: { slug: textLike('Last segment of the type.', /^[a-z-]{1,60}$/, 'the end of a problem type') },
  header: { accept: anyText('The page for people where it names `text/html`, else JSON.') },
  answers: {
    200: {
      description: 'The type.',
      schema: 'ProblemPage',
      also: { mediaType: HTML_TYPE, schema: 'Text' },
      headers: { etag: 'Entity tag.', vary: '`accept`.' },
    },
  },
  refusals: ['ERR_NOT_FOUND'],
  handle: async ({ path, header }) => {
    const code = problemCodes.find((each) => problemSlug(each) === path.slug)
    if (code === undefined) return refuse('ERR_NOT_FOUND', 'There is no error of this name.')
    const about = { code, ...problemTypes[code] }
    const answer = /\btext\/html\b/.test(header.accept ?? '')
      ? pageAnswer(problemPage(about), caching.shared)
      : okTagged(jsonBytes(about), caching.shared)
    return { ...answer, headers: { ...answer.headers, vary: 'accept' } }
  },
})
