// From a session folder to a summary that anybody can check: read, assess here, and only if the comparison holds let a
// service sign it. Usage: node sign-session.mjs FOLDER; FAIRPULL_URL and FAIRPULL_KEY name the service.
import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import process from 'node:process'
import { Fairpull } from '@fairpull/sdk'
import { assess } from '@fairpull/sdk/engine'
import { readSessionFolder } from '@fairpull/sdk/import'
import { renderResult } from '@fairpull/sdk/node'
import { readKeySet, verifySummary } from '@fairpull/sdk/verify'

const [folder = 'session'] = process.argv.slice(2)
const { FAIRPULL_URL: baseUrl, FAIRPULL_KEY: apiKey } = process.env

const comparison = await readSessionFolder((name) => readFile(join(folder, name)))
const result = await assess(comparison)
process.stdout.write(`${renderResult(result, { title: folder, brief: true })}\n\n`)

if (result.standing === 'invalid') {
  process.stdout.write('Nothing is sent: put right what is named above first.\n')
  process.exitCode = 1
} else if (baseUrl === undefined || apiKey === undefined) {
  process.stdout.write('Not signed: set FAIRPULL_URL and FAIRPULL_KEY to have it signed.\n')
} else {
  await sign(new Fairpull({ baseUrl, apiKey }))
}

/** Has the comparison signed, keeps the summary, and checks it as a stranger would: offline, from the data. */
async function sign(fairpull) {
  const { id, summary } = await fairpull.assessments.create(comparison)
  await writeFile('summary.jws', summary)
  const keys = await readKeySet(await fairpull.keys.jwks())
  const report = await verifySummary(summary, { keys: keys.ok ? keys.value : [], comparison, recompute: assess })
  process.stdout.write(`Signed summary ${id}: ${report.integrity}, recomputed ${report.recomputed.answer}.\n`)
  process.stdout.write('Saved to summary.jws: hand it out together with the session folder.\n')
}
