import { execFile } from 'node:child_process'
import { promisify } from 'node:util'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { planRunExample } from '../../packages/service/src/http/plan-examples.ts'
import { studyExamples } from '../../packages/service/src/http/study-examples.ts'
import { examplePlan } from '../support/example-plan.ts'
import { type Site, startSite } from './site.ts'

const run = promisify(execFile)

let site: Site
beforeAll(async () => {
  site = await startSite()
})
afterAll(() => site?.server.close(0))

/** Every command of the page, as it stands there. */
async function commands(): Promise<readonly string[]> {
  const html = await (await fetch(`${site.url}/docs`)).text()
  const entities: Readonly<Record<string, string>> = { quot: '"', amp: '&', lt: '<', gt: '>', '#39': "'", '#96': '`' }
  return [...html.matchAll(/<pre class="runs"[^>]*>([^<]*)<\/pre>/g)].map(([, text = '']) =>
    text.replaceAll(/&(\w+|#\d+);/g, (_, name: string) => entities[name] ?? ''),
  )
}

/** A plan in the state that the command asks for: with a run before it is ended, closed and assessed before it is read. */
async function planFor(command: string): Promise<string> {
  if (!command.includes('PLAN_ID')) return ''
  const id = await examplePlan(site.app, /PLAN_ID\/(assessment|comparison)/.test(command))
  const post = (path: string, body: unknown) =>
    site.app.request(`/v1/plans/${id}${path}`, {
      method: 'POST',
      headers: { authorization: `Bearer ${site.key}`, 'content-type': 'application/json' },
      body: JSON.stringify(body),
    })
  if (/closure|abandonment/.test(command)) await post('/runs', planRunExample)
  if (command.includes('/comparison')) await post('/assessment', {})
  return id
}

/** A summary that anybody may read, of its own for a command that withdraws it. */
async function summaryFor(command: string): Promise<string> {
  const id = site.issued.get(command.includes('/withdrawal') ? 'silencer' : 'air-filter')?.id ?? ''
  if (command.includes('SUMMARY_ID')) {
    const published = await site.app.request(`/v1/assessments/${id}/publication`, {
      method: 'POST',
      headers: { authorization: `Bearer ${site.key}`, 'content-type': 'application/json' },
      body: JSON.stringify({ runs: true }),
    })
    expect(published.ok).toBe(true)
  }
  return id
}

/** A registered study. */
async function registeredStudy(): Promise<string> {
  const answer = await site.app.request('/v1/studies', {
    method: 'POST',
    headers: { authorization: `Bearer ${site.key}`, 'content-type': 'application/json' },
    body: JSON.stringify(studyExamples.beginning),
  })
  return (await answer.json()).id
}

test('every example of the documentation runs as it stands', async () => {
  const all = await commands()
  expect(all.length).toBeGreaterThan(30)
  const study = await registeredStudy()
  for (const command of all) {
    const env = {
      PATH: process.env.PATH,
      FAIRPULL: site.url,
      FAIRPULL_KEY: site.key,
      ASSESSMENT_ID: site.issued.get('intake-trumpets')?.id,
      SUMMARY_ID: await summaryFor(command),
      PROTOCOL_ID: 'motorcycle-rollers@1',
      PROBLEM_SLUG: 'body-invalid',
      PLAN_ID: await planFor(command),
      STUDY_ID: study,
      // The four summaries are the first leaves of the log.
      TILE: '0/000.p/4',
    }
    const { stdout } = await run('bash', ['--norc', '-euo', 'pipefail', '-c', command], { env, maxBuffer: 1e8 })
    expect(stdout.length, command).toBeGreaterThan(10)
  }
}, 120_000)
