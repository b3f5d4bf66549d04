import type { OpenAPIObject } from 'openapi3-ts/oas31'
import { describe, expect, test } from 'vitest'
import { problemCodes, problemSlug } from '../../packages/service/src/http/problem.ts'
import { docsPage } from '../../packages/service/src/report/docs/docs-page.ts'
import { shellExample } from '../../packages/service/src/report/docs/shell-example.ts'
import { escapeText } from '../../packages/service/src/report/markup.ts'
import { contentHash } from '../../packages/service/src/report/page.ts'
import { verifierPage } from '../../packages/service/src/report/verifier-page.ts'
import { createTestApp, documentOfSources } from '../support/test-app.ts'

describe('the documentation', () => {
  const { html } = docsPage(documentOfSources as OpenAPIObject)

  test('holds every operation, every form of a body and every example', () => {
    const operations = Object.values(documentOfSources.paths ?? {}).flatMap((item) => [item.get, item.post])
    for (const operation of operations) {
      if (operation === undefined) continue
      expect(html).toContain(`<h3 id="${operation.operationId}">${escapeText(operation.summary ?? '')}</h3>`)
    }
    for (const name of Object.keys(documentOfSources.components?.schemas ?? {})) {
      expect(html).toContain(`id="schema-${name}"`)
    }
    expect(html.split('<pre class="runs"').length - 1).toBeGreaterThanOrEqual(operations.filter(Boolean).length)
  })

  test('has no link within itself that leads nowhere', () => {
    const ids = new Set([...html.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id))
    const targets = [...html.matchAll(/href="#([^"]+)"/g)].map(([, id]) => id)
    expect(targets.length).toBeGreaterThan(50)
    expect(targets.filter((id) => !ids.has(id))).toEqual([])
  })

  test('runs nothing', () => {
    expect(html).not.toMatch(/<script| style="|\son[a-z]+=|https?:\/\/(?!127\.0\.0\.1)/i)
  })
})

describe('examples for the shell', () => {
  test('name the parameters of an address after what they belong to', () => {
    const placeOf = (address: string) =>
      /FAIRPULL(.*)"/.exec(shellExample({ method: 'get', address, takesKey: false }))?.[1]
    expect(placeOf('/v1/summaries/{id}/status')).toBe('/v1/summaries/$SUMMARY_ID/status')
    expect(placeOf('/log/tile/{tile}')).toBe('/log/tile/$TILE')
    expect(shellExample({ method: 'get', address: '/v1/plans/{id}/runs', takesKey: false })).toBe(
      'curl --fail-with-body --silent --show-error "$FAIRPULL/v1/plans/$PLAN_ID/runs"',
    )
  })

  test('hold the body as it is sent, and what has to be asked for', () => {
    const shown = { method: 'post', address: '/a', takesKey: true, query: { name: 'A & B' }, body: { a: "it's" } }
    expect(shellExample(shown).split('\n')).toEqual([
      'curl --fail-with-body --silent --show-error "$FAIRPULL/a?name=A%20%26%20B" \\',
      '  --header "authorization: Bearer $FAIRPULL_KEY" \\',
      "  --header 'content-type: application/json' \\",
      "  --data-binary @- <<'JSON'",
      '{',
      '  "a": "it\'s"',
      '}',
      'JSON',
    ])
  })
})

describe('types of errors', () => {
  test('each has a page for people, and JSON for programs, at one address', async () => {
    const app = await createTestApp()
    for (const code of problemCodes) {
      const path = `/problems/${problemSlug(code)}`
      const page = await app.request(path, { headers: { accept: 'text/html,*/*;q=0.8' } })
      expect(page.headers.get('content-type')).toBe('text/html; charset=utf-8')
      expect(page.headers.get('vary')).toBe('accept')
      expect(await page.text()).toContain(`<code>${code}</code>`)
      expect(await (await app.request(path)).json()).toMatchObject({ code })
    }
  })
})

describe('the verifier page', () => {
  const programs = { main: 'let a = 1', worker: 'let b = 2' }

  test('permits exactly the program and the style sheet that stand in it', () => {
    const html = verifierPage(programs)
    const [, style = ''] = /<style>([^<]*)<\/style>/.exec(html) ?? []
    const policy = `default-src 'none'; script-src '${contentHash(programs.main)}'; style-src '${contentHash(style)}'; worker-src blob:; base-uri 'none'; form-action 'none'`
    expect(html).toContain(`content="${escapeText(policy)}"`)
  })

  test('is not made of a program that would end its element', () => {
    expect(() => verifierPage({ ...programs, worker: 'a = "</script>"' })).toThrow(RangeError)
  })

  test('is served under the policy that stands in it', async () => {
    const html = verifierPage(programs)
    const app = await createTestApp({ verifierPage: () => html })
    const response = await app.request('/verify')
    expect(response.headers.get('content-security-policy')).toMatch(
      new RegExp(
        `^default-src 'none'; script-src '${contentHash(programs.main).replaceAll('+', '\\+')}';.* frame-ancestors 'none'$`,
      ),
    )
    expect(await response.text()).toBe(html)
  })
})
