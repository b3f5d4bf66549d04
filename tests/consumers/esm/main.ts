/** Somebody's programme of ES modules: every entry, with types. Prints what came out as JSON. */
import { readFile } from 'node:fs/promises'
import { Fairpull } from '@fairpull/sdk'
import type { Comparison } from '@fairpull/sdk/contract'
import { readComparison } from '@fairpull/sdk/contract/schemas'
import { assess } from '@fairpull/sdk/engine'
import { readCsv } from '@fairpull/sdk/import'
import { renderResult } from '@fairpull/sdk/node'
import { createFakeService, testTrust } from '@fairpull/sdk/testing'
import { canonicalJsonBytes, readTrust, sha256Text, verifySummary } from '@fairpull/sdk/verify'

const manifest: { name: string } = JSON.parse(
  await readFile(new URL(import.meta.resolve('@fairpull/sdk/package.json')), 'utf8'),
)

const read = readComparison(JSON.parse(await readFile('comparison.json', 'utf8')))
if (!read.ok) throw new Error(read.problems[0].detail)
const comparison: Comparison = read.comparison
const result = await assess(comparison)

const fake = await createFakeService()
const fairpull = new Fairpull({ baseUrl: fake.baseUrl, apiKey: fake.apiKey, trust: fake.trust, fetch: fake.fetch })
const { summary } = await fairpull.assessments.create(comparison)
const trust = await readTrust(testTrust)
if (!trust.ok) throw new Error(trust.problem.detail)
const report = await verifySummary(summary, { trust: trust.value, comparison, recompute: assess })

const outcome = {
  package: manifest.name,
  digest: await sha256Text(canonicalJsonBytes(result)),
  verdict: report.verdict,
  recomputed: report.recomputed.answer,
  firstLine: renderResult(result, { title: 'consumer' }).split('\n')[0],
  csv: typeof readCsv,
}
console.log(JSON.stringify(outcome))
