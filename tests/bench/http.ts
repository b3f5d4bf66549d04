/** F2, F3, F4 and S7: the service against bare hono, the log against one entry a transaction, and bodies meant to hurt. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { IssuedSummary } from '@fairpull/sdk/contract'
import { benchComparison } from './comparison.ts'
import { median } from './figures.ts'
import { batchMemory, hostileBodies } from './hostile.ts'
import { type Load, load } from './load.ts'
import { logAppends } from './log-appends.ts'
import { against, type Row, type Section } from './results-page.ts'
import { type BareServer, type BenchService, startBare, startService } from './servers.ts'

const ROUNDS = 3
/** A POST of 0.85 MB takes long on a busy machine, and a round has to hold many of them. */
const POST_SECONDS = 12
const GET_SECONDS = 4
const CONNECTIONS = 8

/** Measures the service. */
export async function httpBench(): Promise<Section> {
  const appends = await logAppends()
  const service = await startService()
  const bare = await startBare()
  try {
    const rows = [appends]
    for (const measure of [posts, reads, hostileBodies, batchMemory]) {
      const found = await measure(service, bare)
      for (const { what, figure } of found) console.log(`  ${what}: ${figure}`)
      rows.push(...found)
    }
    return { title: 'Service', rows, notes }
  } finally {
    bare.end()
    await service.end()
  }
}

const notes = [
  `Load by wrk on the same machine, ${CONNECTIONS} connections, ${ROUNDS} rounds of ${POST_SECONDS} s (POST) and ${GET_SECONDS} s (GET) in which both servers take turns; a ratio is the median of the ratios of the rounds. With two processors the load, the database and the service share them.`,
  'The service runs as an operator starts it: one process, embedded PostgreSQL with fsync, signing, log and audit on.',
  'F4: two processes with eight clients each, the same storage and the same transaction, with and without gathering; rounds take turns.',
  'S7: RSS and event-loop delay of the process that answers, the latter as its own metrics give it, largest of all readings. The RSS it starts from is that after the rounds above, not that of a fresh process, from which the growth would be no smaller.',
  'POST rounds were 4 s at first, in which a busy machine answered no request at all. Batches were longer at first: one of 800 comparisons broke off with a reset connection under load, which was not looked into; the figure is of batches that were answered whole.',
]

/** F2: assess, sign, log and store a body that bare hono only parses. */
async function posts({ process, apiKey }: BenchService, bare: BareServer): Promise<readonly Row[]> {
  const folder = await mkdtemp(join(tmpdir(), 'fairpull-bench-'))
  const body = JSON.stringify(benchComparison())
  const bodyFile = join(folder, 'body.json')
  const script = join(folder, 'post.lua')
  await writeFile(bodyFile, body)
  await writeFile(
    script,
    `wrk.method = "POST"
wrk.headers["content-type"] = "application/json"
wrk.headers["authorization"] = "Bearer ${apiKey}"
local file = io.open("${bodyFile}", "rb")
wrk.body = file:read("*a")
file:close()
`,
  )
  const pairs = await inTurn(
    () => load(`${process.url}/v1/assessments`, CONNECTIONS, POST_SECONDS, script),
    () => load(`${bare.url}/`, CONNECTIONS, POST_SECONDS, script),
  )
  await rm(folder, { recursive: true })
  const what = `\`POST /v1/assessments\`, ${(body.length / 1e6).toFixed(2)} MB, against hono that parses the same body`
  return [ratioRow(what, pairs, 'F2', 0.6)]
}

/** F3: a published summary against "hello". */
async function reads({ process, apiKey }: BenchService, bare: BareServer): Promise<readonly Row[]> {
  const headers = { authorization: `Bearer ${apiKey}`, 'content-type': 'application/json' }
  const send = (path: string, body: string) => fetch(`${process.url}${path}`, { method: 'POST', headers, body })
  const issued = (await (await send('/v1/assessments', JSON.stringify(benchComparison()))).json()) as IssuedSummary
  const published = await send(`/v1/assessments/${issued.id}/publication`, '{"runs":false}')
  if (!published.ok) throw new Error(`the summary could not be published: ${await published.text()}`)
  const pairs = await inTurn(
    () => load(`${process.url}/v1/summaries/${issued.id}`, CONNECTIONS, GET_SECONDS),
    () => load(`${bare.url}/`, CONNECTIONS, GET_SECONDS),
  )
  return [ratioRow('`GET /v1/summaries/{id}` against hono "hello"', pairs, 'F3', 0.5)]
}

type Pair = readonly [ours: Load, theirs: Load]

/** Rounds in which both are measured one after the other, after one that warms up. */
async function inTurn(ours: () => Promise<Load>, theirs: () => Promise<Load>): Promise<readonly Pair[]> {
  await ours()
  await theirs()
  const pairs: Pair[] = []
  for (let round = 0; round < ROUNDS; round += 1) pairs.push([await ours(), await theirs()])
  return pairs
}

function ratioRow(what: string, pairs: readonly Pair[], name: string, least: number): Row {
  const ratio = median(pairs.map(([ours, theirs]) => ours.perSecond / theirs.perSecond))
  const [ours, theirs] = [0, 1].map((at) => median(pairs.map((pair) => pair[at]?.perSecond ?? Number.NaN)))
  const failures = pairs.reduce((sum, [one, other]) => sum + one.failures + other.failures, 0)
  const told = failures === 0 ? '' : `; ${failures} requests failed`
  return {
    what,
    figure: `${ratio.toFixed(2)} × (${shown(ours)} against ${shown(theirs)} a second)${told}`,
    target: against(`${name} ≥ ${least} ×`, ratio >= least && failures === 0),
  }
}

function shown(perSecond = Number.NaN): string {
  return perSecond < 1000 ? perSecond.toFixed(1) : `${(perSecond / 1000).toFixed(1)} k`
}
