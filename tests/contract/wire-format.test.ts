/** The specification of the wire format is enough to verify a summary in another language. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Comparison, SummaryPayload } from '../../packages/sdk/src/contract/index.ts'
import { fieldProblemCodes } from '../../packages/sdk/src/contract/schemas.ts'
import {
  importSigningKey,
  inputDigests,
  readKeySet,
  type SigningKey,
  signSummary,
  verificationCodes,
  verificationSteps,
  verifySummary,
} from '../../packages/sdk/src/integrity/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { fullPayload } from './answer-fixture.ts'
import { type Draft, fullComparison } from './comparison-fixture.ts'

const page = readFileSync(new URL('../../schemas/README.md', import.meta.url), 'utf8')

const trustListSource = readFileSync(new URL('../../packages/sdk/src/integrity/trust-list.ts', import.meta.url), 'utf8')

const example = (name: string) => readFileSync(new URL(`../../schemas/example/${name}`, import.meta.url), 'utf8')

describe('the page', () => {
  test('names every step of a verification, in order, and every code', () => {
    const rows = [...page.matchAll(/^\| \d (\w+) \|/gm)].map((match) => match[1])
    expect(rows).toEqual([...verificationSteps])
    expect(Object.keys(verificationCodes).filter((code) => !page.includes(`\`${code}\``))).toEqual([])
  })

  test('names no code that does not exist', () => {
    const ofTrustLists = trustListSource.match(/ERR_TRUST_LIST_\w+/g) ?? []
    const known = new Set<string>([...Object.keys(verificationCodes), ...fieldProblemCodes, ...ofTrustLists])
    const named = [...page.matchAll(/`(ERR_\w+)`/g)].map((match) => match[1] ?? '')
    expect(named.filter((code) => !known.has(code))).toEqual([])
  })

  test('numbers its rules without a gap', () => {
    const rules = [...page.matchAll(/^(\d+)\. /gm)].map((match) => Number(match[1]))
    expect(rules).toEqual(rules.map((_, index) => index + 1))
  })

  test('shows an example that verifies, by a key that everybody knows', async () => {
    const keys = await readKeySet(JSON.parse(example('jwks.json')))
    if (!keys.ok) throw new Error(keys.problem.detail)
    const comparison: Comparison = JSON.parse(example('comparison.json'))
    const report = await verifySummary(example('summary.jws').trim(), {
      keys: keys.value,
      comparison,
      recompute: assess,
    })
    expect(report).toMatchObject({ verdict: 'intact-key-unknown', failure: null })
    expect(report.steps.filter(({ outcome }) => outcome === 'failed')).toEqual([])
    const [, body = ''] = example('summary.jws').split('.')
    expect(Buffer.from(body, 'base64url').toString()).toBe(example('payload.json').trim())
    const [, shown = ''] = /<!-- example:start -->([\s\S]*)<!-- example:end -->/.exec(page) ?? []
    expect(shown).toContain(example('comparison.json'))
  })
})

/** RFC 8037 appendix A.1: a key that everybody knows. */
const knownKey = {
  kty: 'OKP',
  crv: 'Ed25519',
  d: 'nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A',
  x: '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo',
}

const hasTools = spawnSync('python3', ['--version']).status === 0 && spawnSync('openssl', ['version']).status === 0

describe.skipIf(!hasTools)('the verifier in Python (needs python3 and openssl)', () => {
  const folder = mkdtempSync(join(tmpdir(), 'wire-format-'))
  const at = (name: string) => join(folder, name)
  let jws = ''

  beforeAll(async () => {
    const key = await knownSigningKey()
    jws = await signSummary(await payload(), key)
    writeFileSync(at('verify.py'), /```python\n([\s\S]*?)```/.exec(page)?.[1] ?? '')
    writeFileSync(at('jwks.json'), JSON.stringify({ keys: [key.jwk] }))
    writeFileSync(at('comparison.json'), JSON.stringify(fullComparison()))
  })

  afterAll(() => rmSync(folder, { recursive: true }))

  function verify(summary: string, ...more: readonly string[]): string {
    writeFileSync(at('summary.jws'), summary)
    const files = ['summary.jws', 'jwks.json', ...more].map(at)
    const { stdout, stderr } = spawnSync('python3', [at('verify.py'), ...files], { encoding: 'utf8' })
    return `${stdout}${stderr}`.trim()
  }

  test('finds a summary intact, and the data those that were judged', () => {
    expect(verify(`${jws}\n`, 'comparison.json').split('\n')).toEqual([
      'intact: the bench for the shop 2026-05-02T12:00:00Z limited',
      'data: the ones that were judged',
    ])
  })

  test('reads the same comparison from arrays in place of base64', () => {
    const draft = fullComparison()
    draft.runs[0].channels.torque = { unit: 'N m', values: [0, 0, 0, 0] }
    writeFileSync(at('arrays.json'), JSON.stringify(draft, null, 2))
    expect(verify(jws, 'arrays.json')).toContain('data: the ones that were judged')
  })

  test('finds the example of the page intact, and its data those that were judged', () => {
    for (const name of ['jwks.json', 'comparison.json']) writeFileSync(at(`example-${name}`), example(name))
    writeFileSync(at('example.jws'), example('summary.jws'))
    const files = ['example.jws', 'example-jwks.json', 'example-comparison.json'].map(at)
    const { stdout } = spawnSync('python3', [at('verify.py'), ...files], { encoding: 'utf8' })
    expect(stdout.split('\n')).toEqual([
      'intact: Example issuer for Example workshop 2026-05-02T12:00:00Z limited',
      'data: the ones that were judged',
      '',
    ])
  })

  test('tells another comparison apart by one sample', () => {
    const draft = fullComparison()
    draft.runs[0].channels.wheelPower.values[3] = 45.000001
    writeFileSync(at('other.json'), JSON.stringify(draft))
    expect(verify(jws, 'other.json')).toContain('data: another comparison')
  })

  test('refuses a summary of which one figure was changed', () => {
    const [header = '', body = '', signature = ''] = jws.split('.')
    const text = Buffer.from(body, 'base64url').toString().replace('"score":81', '"score":91')
    const forged = [header, Buffer.from(text).toString('base64url'), signature].join('.')
    expect(verify(forged)).toBe('refused: ERR_SIGNATURE_BROKEN')
  })

  test('refuses a payload that is not in canonical form', () => {
    const [header = '', body = '', signature = ''] = jws.split('.')
    const text = Buffer.from(body, 'base64url').toString().replace('"score":81', '"score": 81')
    const forged = [header, Buffer.from(text).toString('base64url'), signature].join('.')
    expect(verify(forged)).toBe('refused: ERR_PAYLOAD_NOT_CANONICAL')
  })

  test('refuses another algorithm', () => {
    const [, body = '', signature = ''] = jws.split('.')
    const header = Buffer.from(JSON.stringify({ alg: 'none', kid: 'x', typ: 'fairpull-summary+jws' }))
    expect(verify([header.toString('base64url'), body, signature].join('.'))).toBe('refused: ERR_HEADER_ALG_OTHER')
  })

  async function knownSigningKey(): Promise<SigningKey> {
    const key = await importSigningKey(knownKey)
    if (!key.ok) throw new TypeError(key.problem.detail)
    return key.value
  }

  /** Numbers of every shape that ECMAScript writes, and names that sort otherwise by code point than by code unit. */
  async function payload(): Promise<SummaryPayload> {
    const draft: Draft = fullPayload()
    draft.issue.receipts = []
    draft.result.inputs = await inputDigests(fullComparison() as Comparison)
    draft.result.gains.curve.gain_percent = [0, -2.5, 1e-7, 1.25e-9, 123456, 0.000001, 1e15, 4.5e-300]
    draft.result.later = { é: 1, '\u{1f600}': 2, '\uffee': 3, text: 'a "quoted" \\ line\n\u007f' }
    return draft as SummaryPayload
  }
})
