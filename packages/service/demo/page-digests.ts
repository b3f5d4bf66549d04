/** Prints the digests of all results and pages of the demo as JSON: two runtimes that print the same write the same. */
import type { IssuedSummary } from '@fairpull/sdk/contract'
import { assess } from '@fairpull/sdk/engine'
import { canonicalJson } from '@fairpull/sdk/verify'
import { digestsOf, pageFiles } from './pages.ts'
import { committedSeed, demoComparison, demoNames } from './scenario/index.ts'

/** An issue of nobody: the time of a real one would make every run another. */
const issue = {
  id: '01890000-0000-7000-8000-000000000001',
  issuer: 'Fairpull demo',
  submitter: 'Demo workshop',
  issuedAt: '2026-05-02T09:30:00Z',
  supersedes: null,
  registration: 'none',
  receipts: [],
} as const

/** The digests by file. */
export async function pageDigests(): Promise<Readonly<Record<string, string>>> {
  const digests: Record<string, string> = {}
  for (const name of demoNames) {
    const comparison = demoComparison(name, committedSeed)
    const answer: IssuedSummary = {
      id: issue.id,
      summary: 'e30.e30.AAAA',
      payload: { issue, result: await assess(comparison) },
    }
    const result = { name: `${name}.result.json`, text: canonicalJson(answer.payload.result) }
    Object.assign(digests, digestsOf([result, ...pageFiles(name, answer, comparison)]))
  }
  return digests
}

process.stdout.write(`${JSON.stringify(await pageDigests(), null, 2)}\n`)
