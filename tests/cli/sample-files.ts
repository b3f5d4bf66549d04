/** Files that command lines are tried on. */
import type { Channels, Comparison, SummaryPayload } from '../../packages/sdk/src/contract/index.ts'
import { importSigningKey, inputDigests, signSummary } from '../../packages/sdk/src/integrity/index.ts'
import { validResult } from './results.ts'

const csv = 'Speed,Power\n3000,20.1\n3050,20.6\n3100,21\n'

const document = {
  protocol: 'motorcycle-rollers@1',
  columns: { engineSpeed: { header: 'Speed', unit: 'rpm' }, wheelPower: { header: 'Power', unit: 'kW' } },
  runs: [
    { id: 'b1', side: 'baseline', purpose: 'measured', file: 'runs/b1.csv' },
    { id: 'm1', side: 'modified', purpose: 'measured', file: 'runs/m1.csv' },
  ],
}

/** A comparison file and the runs it names. */
export const files = {
  'bench/comparison.json': JSON.stringify(document),
  'bench/runs/b1.csv': csv,
  'bench/runs/m1.csv': csv.replace('21', '22'),
}

/** The key pair of RFC 8037, appendix A.1. */
const published = {
  kty: 'OKP',
  crv: 'Ed25519',
  d: 'nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A',
  x: '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo',
} as const

/** The comparison of `files` in its submitted form, a summary of it, and key files. */
export async function signedFiles(other: Readonly<Record<string, unknown>> = {}) {
  const channels = (last: number): Channels => ({
    engineSpeed: { unit: 'rpm', values: [3000, 3050, 3100] },
    wheelPower: { unit: 'kW', values: [20.1, 20.6, last] },
  })
  const submitted: Comparison = {
    protocol: document.protocol,
    runs: [
      { id: 'b1', side: 'baseline', purpose: 'measured', channels: channels(21) },
      { id: 'm1', side: 'modified', purpose: 'measured', channels: channels(22) },
    ],
  }
  const key = await importSigningKey(published)
  if (!key.ok) throw new TypeError(key.problem.detail)
  const result = { ...validResult, ...other, inputs: await inputDigests(submitted) }
  const payload: SummaryPayload = {
    issue: {
      id: '0193c9e0-0000-7000-8000-000000000001',
      issuer: 'Bench service',
      submitter: 'A workshop',
      issuedAt: '2031-05-01T10:00:00Z',
      supersedes: null,
      registration: 'none',
      receipts: [],
    },
    result,
  }
  const summary = await signSummary(payload, key.value)
  const trust = { keys: [{ jwk: key.value.jwk, issuer: 'Bench service', notBefore: '2031-01-01T00:00:00Z' }] }
  return {
    result,
    summary,
    key: key.value.jwk,
    files: {
      'summary.jws': `${summary}\n`,
      'answer.json': JSON.stringify({ id: payload.issue.id, summary, payload }),
      'altered.jws': altered(summary),
      'jwks.json': JSON.stringify({ keys: [key.value.jwk] }),
      'trust.json': JSON.stringify(trust),
      'comparison.json': JSON.stringify(submitted),
      'other.json': JSON.stringify({ ...submitted, protocol: 'motorcycle-rollers@2' }),
    },
  }
}

/** A summary with one byte of its payload changed. */
export function altered(summary: string): string {
  return summary.replace(/\.(.)/, (_, first) => `.${first === 'e' ? 'f' : 'e'}`)
}
