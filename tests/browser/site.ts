/** The real application behind a real socket, with the demo's four comparisons assessed, and nothing stored on disk. */
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { IssuedSummary } from '../../packages/sdk/src/contract/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { type DemoName, demoComparison, demoNames } from '../../packages/service/demo/scenario/index.ts'
import { listen, type RunningServer } from '../../packages/service/src/http/server.ts'
import { createTestApp, type TestApp } from '../support/test-app.ts'

/** File of the built verifier page. */
export const VERIFIER_FILE = fileURLToPath(new URL('../../packages/service/dist/verify.html', import.meta.url))

/** A service that answers. */
export interface Site {
  readonly url: string
  readonly key: string
  readonly issued: ReadonlyMap<DemoName, IssuedSummary>
  /** Public keys of the service, as they are published. */
  readonly jwks: unknown
  readonly server: RunningServer
  readonly app: TestApp
}

/** Starts it. */
export async function startSite(): Promise<Site> {
  const app = await createTestApp({
    assess,
    bodyLimit: 4 * 1024 * 1024,
    verifierPage: () => readFileSync(VERIFIER_FILE, 'utf8'),
  })
  const server = await listen({
    host: '127.0.0.1',
    port: 0,
    fetch: app.fetch,
    bodyLimit: 4 * 1024 * 1024,
    linesAt: [],
    freshId: () => '01890000-0000-7000-8000-0000000000ff',
  })
  const headers = { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' }
  const issued = new Map<DemoName, IssuedSummary>()
  for (const name of demoNames) {
    const body = JSON.stringify(demoComparison(name, 1))
    const response = await fetch(`${server.url}/v1/assessments`, { method: 'POST', headers, body })
    issued.set(name, (await response.json()) as IssuedSummary)
  }
  const jwks: unknown = await (await fetch(`${server.url}/.well-known/jwks.json`)).json()
  return { url: server.url, key: app.key, issued, jwks, server, app }
}

/** Addresses of everything that people look at. */
export function lookedAt({ issued }: Site): readonly string[] {
  return [
    ...[...issued.values()].map(({ id }) => `/v1/assessments/${id}/report.html`),
    ...[...issued.values()].map(({ id }) => `/v1/assessments/${id}/chart.svg`),
    ...[...issued.values()].map(({ id }) => `/v1/assessments/${id}/badge.svg`),
    '/docs',
    '/verify',
    '/problems/body-invalid',
  ]
}
