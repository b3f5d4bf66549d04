/** Comparisons and signed summaries that are the same every time. */
import type { Comparison, Result, SummaryPayload } from '../contract/index.ts'
import { canonicalBase64url, toBase64url } from '../integrity/base64url.ts'
import { importSigningKey, signSummary } from '../integrity/index.ts'
import { assess } from '../local/assess.ts'
import { simulateSession } from './simulator/session.ts'
import { TEST_ISSUER, testSigningKey } from './test-key.ts'

/** The time that stands still in fixtures and in the fake, RFC 3339. */
export const TEST_TIME = '2026-05-02T09:30:00.000Z'

/** Two published figures and nothing else: the least that can be asked about. */
export const twoFigures: Comparison = {
  protocol: 'motorcycle-rollers@1',
  changes: [{ what: 'silencer', role: 'under-test' }],
  runs: [
    {
      id: 'before',
      side: 'baseline',
      purpose: 'measured',
      origin: 'reported',
      reported: { peakPower: { value: 71.2, unit: 'kW' }, at: { value: 9400, unit: 'rpm' } },
    },
    {
      id: 'after',
      side: 'modified',
      purpose: 'measured',
      origin: 'reported',
      reported: { peakPower: { value: 73.9, unit: 'kW' }, at: { value: 9500, unit: 'rpm' } },
    },
  ],
  claims: [
    {
      id: 'peak',
      quantity: 'wheel-power',
      over: { kind: 'peak' },
      relation: 'at-least',
      gain: { value: 3, unit: '%' },
    },
  ],
}

/**
 * A session with every run and record, whose true gain is known.
 *
 * @param truth.percent true gain over the whole range. [%]
 * @param truth.claimed gain claimed for the mean from 5,000 to 9,000 rpm. [%]
 * @param seed another seed, another session.
 */
export function recordedSession(
  truth: { readonly percent: number; readonly claimed: number } = { percent: 4, claimed: 2 },
  seed = 1,
): Comparison {
  const { comparison } = simulateSession({
    seed,
    design: 'ABA',
    runsPerBlock: 3,
    gain: { shape: 'uniform', percent: truth.percent },
    claims: [
      {
        id: 'mid-range',
        quantity: 'wheel-power',
        over: { kind: 'band-mean', from: { value: 5000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
        relation: 'at-least',
        gain: { value: truth.claimed, unit: '%' },
      },
    ],
  })
  return comparison
}

/** A signed summary and what it was made from. */
export interface SignedFixture {
  /** Compact JWS, signed by the test key; verify it with `testTrust`. */
  readonly summary: string
  /** What was signed. */
  readonly payload: SummaryPayload
  /** The result in it: that of the real engine. */
  readonly result: Result
  /** The comparison it is of. */
  readonly comparison: Comparison
}

/**
 * The summary of a comparison as a service would sign it, under the test key, at a fixed time.
 *
 * @param issue members of the issue that a test wants otherwise.
 */
export async function signedFixture(
  comparison: Comparison = twoFigures,
  issue: Partial<SummaryPayload['issue']> = {},
): Promise<SignedFixture> {
  const key = await importSigningKey(testSigningKey)
  if (!key.ok) throw new TypeError(`the test key cannot be read: ${key.problem.detail}`)
  const result = await assess(comparison)
  const payload: SummaryPayload = { issue: { ...ordinaryIssue, ...issue }, result }
  return { summary: await signSummary(payload, key.value), payload, result, comparison }
}

const ordinaryIssue: SummaryPayload['issue'] = {
  id: '01890000-0000-7000-8000-0000000000f1',
  issuer: TEST_ISSUER,
  submitter: 'Test workshop',
  issuedAt: TEST_TIME,
  supersedes: null,
  registration: 'none',
  receipts: [],
}

/** The same summary with the first letter of its verdict changed, still sound JSON: only the signature tells. */
export function tampered(summary: string): string {
  const [header = '', payload = '', signature = ''] = summary.split('.')
  const text = new TextDecoder().decode(canonicalBase64url(payload))
  const altered = text.replace(/"verdict":"./, (start) => `${start.slice(0, -1)}${start.endsWith('V') ? 'L' : 'V'}`)
  return [header, toBase64url(new TextEncoder().encode(altered)), signature].join('.')
}
