/** Pages of the service itself: the documentation, and the page that checks a signed summary. */
import type { OpenAPIObject } from 'openapi3-ts/oas31'
import { docsPage } from '../report/docs/docs-page.ts'
import type { Page } from '../report/page.ts'
import { caching } from './answer.ts'
import { operation } from './operation.ts'
import { HTML_TYPE, pageAnswer } from './page-answers.ts'

const plain = { method: 'get', tag: 'Service', scope: null, path: {}, query: {}, header: {}, body: null } as const

const html = {
  schema: 'Text',
  mediaType: HTML_TYPE,
  headers: { etag: 'Entity tag.', 'content-security-policy': 'Lets nothing be loaded from elsewhere.' },
} as const

/** GET /docs: this document for people. */
export const getDocs = operation({
  ...plain,
  id: 'getDocs',
  address: '/docs',
  summary: 'Read this document as a page',
  description: 'The OpenAPI document as one page without a script; it can be saved and read without a network.',
  answers: { 200: { description: 'The page.', ...html } },
  refusals: [],
  handle: async (_request, { document }) =>
    pageAnswer(docsPage(JSON.parse(decoder.decode(document())) as OpenAPIObject), caching.shared),
})

/** GET /verify: the verifier page. */
export const getVerifierPage = operation({
  ...plain,
  id: 'getVerifierPage',
  address: '/verify',
  tag: 'Verification',
  summary: 'Check a signed summary in the browser',
  description:
    'A page that verifies and recomputes in the browser. It sends nothing; saved, it works from disk without a network.',
  answers: { 200: { description: 'The page.', ...html } },
  refusals: [],
  handle: async (_request, { verifierPage }) => pageAnswer(underItsPolicy(verifierPage()), caching.shared),
})

const decoder = new TextDecoder()

/** The policy of the page stands in it. Where it may be framed can be said in a header field only. */
function underItsPolicy(text: string): Page {
  const [, policy = "default-src 'none'"] = /http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(text) ?? []
  return { html: text, policy: `${policy.replaceAll('&#39;', "'")}; frame-ancestors 'none'` }
}
