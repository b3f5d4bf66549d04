// Somebody handed out a signed summary with its comparison. Was it altered, who signed it, and do the numbers come out
// again? Offline: nothing is fetched. Usage: node check-summary.mjs SUMMARY COMPARISON TRUST
import { readFile } from 'node:fs/promises'
import process from 'node:process'
import { readComparison } from '@fairpull/sdk/contract/schemas'
import { assess } from '@fairpull/sdk/engine'
import { readTrust, verifySummary } from '@fairpull/sdk/verify'

const [summaryFile = 'summary.jws', comparisonFile = 'comparison.json', trustFile = 'trust.json'] =
  process.argv.slice(2)

const json = async (file) => JSON.parse(await readFile(file, 'utf8'))

const trust = await readTrust(await json(trustFile))
if (!trust.ok) throw new Error(`${trustFile}${trust.problem.pointer}: ${trust.problem.detail}`)
const read = readComparison(await json(comparisonFile))
if (!read.ok) throw new Error(`${comparisonFile}${read.problems[0].pointer}: ${read.problems[0].detail}`)

const summary = (await readFile(summaryFile, 'utf8')).trim()
const { comparison } = read
const report = await verifySummary(summary, { trust: trust.value, comparison, recompute: assess })

const lines = [`${summaryFile}: ${report.verdict}`]
for (const { step, outcome, sentence } of report.steps) lines.push(`  ${step}: ${outcome}, ${sentence}`)
if (report.payload !== null) {
  const { standing, verdict, limits } = report.payload.result
  lines.push('', `It says: ${standing}. ${verdict}`, '', 'It does not show:', ...limits.map((limit) => `- ${limit}`))
}
process.stdout.write(`${lines.join('\n')}\n`)

// Data that are not the signed ones, or numbers that do not come out again, are no verification either.
const isRecomputed = ['identical', 'agrees-to-last-digit'].includes(report.recomputed.answer)
if (report.verdict !== 'verified' || !isRecomputed) process.exitCode = 1
