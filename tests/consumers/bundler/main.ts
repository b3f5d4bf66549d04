/** Somebody's page: what it imports is bundled for browsers, and leaves its outcome for the test to read. */
import { Fairpull, isFairpullError } from '@fairpull/sdk'
import type { Comparison } from '@fairpull/sdk/contract'
import { readComparison } from '@fairpull/sdk/contract/schemas'
import { assess } from '@fairpull/sdk/engine'
import { proposeColumns } from '@fairpull/sdk/import'
import { canonicalJsonBytes, readTrust, sha256Text, type TrustBundle, verifySummary } from '@fairpull/sdk/verify'

/** What the page is given. */
interface Given {
  readonly comparison: Comparison
  readonly summary: string
  readonly trust: TrustBundle
}

/** What the page found. */
async function outcomeOf({ comparison, summary, trust }: Given) {
  const read = readComparison(comparison)
  if (!read.ok) throw new Error(read.problems[0].detail)
  const digest = await sha256Text(canonicalJsonBytes(await assess(read.comparison)))
  const trusted = await readTrust(trust)
  if (!trusted.ok) throw new Error(trusted.problem.detail)
  const report = await verifySummary(summary, { trust: trusted.value, comparison, recompute: assess })
  const table = new TextEncoder().encode('rpm;power [kW]\n3000;21,5\n3100;22,4\n3200;23,1\n')
  const { columns } = proposeColumns(table, { name: 'table.csv' })
  const away = await new Fairpull({ baseUrl: 'http://127.0.0.1:1', retries: 0 }).protocols
    .list()
    .catch((error: unknown) => (isFairpullError(error) ? error.code : 'other'))
  return { digest, verdict: report.verdict, recomputed: report.recomputed.answer, columns: columns.length, away }
}

declare global {
  var outcomeOfConsumer: (given: Given) => ReturnType<typeof outcomeOf>
}

globalThis.outcomeOfConsumer = outcomeOf
