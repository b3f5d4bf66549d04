/**
 * A verifier in another language, written after schemas/README.md, and openssl agree with ours, reason by reason. Needs python3
 * and openssl, so it is run by the gate only: SECOND_VERIFIER=1.
 */
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import { readKeySet, readTrust, verifySummary } from '../../../packages/sdk/src/integrity/index.ts'
import { corpus, type VerificationCase } from './corpus.ts'

const script = fileURLToPath(new URL('verify.py', import.meta.url))

async function ours({ name, summary, trust, keys, log }: VerificationCase) {
  const [known, served] = [trust === null ? undefined : await readTrust(trust), await readKeySet({ keys })]
  if (known?.ok === false || !served.ok) throw new Error(`${name}: the keys of the case cannot be read`)
  const report = await verifySummary(summary, {
    keys: served.value,
    ...(known === undefined ? {} : { trust: known.value }),
    ...(log === undefined ? {} : { log }),
  })
  const isRefused = report.verdict === 'refused'
  return {
    name,
    verdict: report.verdict,
    code: report.failure?.code ?? null,
    logged: isRefused ? null : report.logged.status,
  }
}

test.runIf(process.env.SECOND_VERIFIER !== undefined)('both verifiers say the same of every case', async () => {
  const cases = await corpus()
  expect(cases.length).toBeGreaterThanOrEqual(80)
  const expected = []
  for (const each of cases) expected.push(await ours(each))
  // The corpus is worth something only if it reaches many reasons, and both ends.
  expect(new Set(expected.map(({ code }) => code)).size).toBeGreaterThanOrEqual(25)
  expect(new Set(expected.map(({ logged }) => logged))).toEqual(new Set([null, 'not-checked', 'proven', 'log-unknown']))

  const { stdout, stderr, status } = spawnSync('python3', [script], {
    input: JSON.stringify(cases),
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  })
  expect(stderr).toBe('')
  expect(status).toBe(0)
  expect(JSON.parse(stdout)).toEqual(expected)
})
