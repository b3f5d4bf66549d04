import type { Interval, Result, SummaryPayload } from '../../../packages/sdk/src/contract/index.ts'
import {
  importPublicKey,
  importSigningKey,
  type SigningKey,
  type VerificationKey,
} from '../../../packages/sdk/src/integrity/ed25519-key.ts'
import { readTrust, type Trust, type TrustedKey } from '../../../packages/sdk/src/integrity/trust.ts'
import { acceptedValue } from './bytes.ts'

/** RFC 8037 A.1: a key that everybody knows; it signs in tests only. */
export const knownPrivateJwk = {
  kty: 'OKP',
  crv: 'Ed25519',
  x: '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo',
  d: 'nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A',
} as const

/** RFC 8032 §7.1 TEST 2, as a JWK: the key of somebody else. */
export const otherPrivateJwk = {
  kty: 'OKP',
  crv: 'Ed25519',
  x: 'PUAXw-hDiVqStwqnTRt-vJyYLM8uxJaMwM1V8Sr0Zgw',
  d: 'TM0Imyj_ltqdtsNG7BFOD1uKMZ81q6Yk2oz27U-4pvs',
} as const

/** The signing key of RFC 8037 A.1. */
export async function knownSigningKey(): Promise<SigningKey> {
  return acceptedValue(await importSigningKey(knownPrivateJwk))
}

/** The signing key of somebody else. */
export async function otherSigningKey(): Promise<SigningKey> {
  return acceptedValue(await importSigningKey(otherPrivateJwk))
}

/** The public key of RFC 8037 A.1. */
export async function knownPublicKey(): Promise<VerificationKey> {
  const { kty, crv, x } = knownPrivateJwk
  return acceptedValue(await importPublicKey({ kty, crv, x }))
}

/** Trust in the public key of RFC 8037 A.1 for the issuer of the fixture, during 2026; `change` replaces members. */
export async function trustInKnownKey(change: Partial<TrustedKey> = {}): Promise<Trust> {
  const { kty, crv, x } = knownPrivateJwk
  const key: TrustedKey = {
    jwk: { kty, crv, x },
    issuer: 'bench.example',
    notBefore: '2026-01-01T00:00:00Z',
    notAfter: '2026-12-31T23:59:59Z',
    ...change,
  }
  return acceptedValue(await readTrust({ keys: [key] }))
}

const interval: Interval = {
  estimate: 2.74163,
  low: 1.90355,
  high: 3.58658,
  standardUncertainty: 0.389221,
  coverageFactor: 2.16037,
  degreesOfFreedom: 13,
  rule: 'welch-satterthwaite',
  scope: 'as-mounted',
  twoDriftModels: false,
}

/** A small result with every kind of member. The figures are made up. */
export const result: Result = {
  method: '1.0.0',
  protocol: { id: 'motorcycle-rollers@1', digest: `sha256:${'1a'.repeat(32)}` },
  inputs: {
    comparison: `sha256:${'2b'.repeat(32)}`,
    runs: [
      { run: 'b1', digest: `sha256:${'3c'.repeat(32)}` },
      { run: 'm1', digest: `sha256:${'4d'.repeat(32)}` },
    ],
  },
  standing: 'limited',
  scope: ['Holds for these mountings only.'],
  score: 87,
  verdict: 'The part gains 2.74 % over the band, within 1.90 % to 3.59 %, as mounted.',
  findings: [
    {
      check: 'tyre-pressure-matched',
      status: 'met',
      severity: 'gate',
      observed: 2.5,
      limit: 7,
      unit: 'kPa',
      runs: ['b1', 'm1'],
      sentence: 'Drive-tyre pressure differs by 2.5 kPa.',
      remedy: '',
      evidence: null,
      basis: 'common practice, no source',
    },
  ],
  attribution: { underTest: ['air-filter element'], alsoChanged: [], sentence: 'The gain belongs to the element.' },
  alternatives: [],
  gains: { correction: 'un-r85', measuredAt: 'wheel', corrected: [], uncorrected: [], curve: null },
  budget: [
    {
      term: 'repeatability',
      type: 'A',
      standardUncertainty: 0.389221,
      degreesOfFreedom: 13,
      share: 100,
      status: 'these-runs',
    },
  ],
  claims: [
    {
      claim: 'c1',
      statement: 'At least 1.5 % band mean.',
      judgement: 'supported',
      sentence: 'The lower end, 1.90 %, is above 1.5 %.',
      reason: null,
      unit: '%',
      over: { kind: 'peak' },
      interval,
      asMounted: interval,
      supportP: 0.0021077,
      contradictionP: 0.997892,
      conditional: null,
      smallest: null,
      largest: null,
      scope: [],
      bandMean: null,
    },
  ],
  nextSteps: [],
  cautions: [{ about: 'noise', sentence: 'Wear hearing protection.' }],
  accounting: {
    recorded: 2,
    used: ['b1', 'm1'],
    excluded: [],
    notMeasured: [],
    unlisted: 0,
    unaccounted: [],
    perSide: { baseline: 1, modified: 1 },
    traces: [],
  },
  limits: ['Not shown: that the rig was honest.'],
}

/** The payload around `result`. */
export const payload: SummaryPayload = {
  issue: {
    id: '0199c0de-0000-7000-8000-000000000001',
    issuer: 'bench.example',
    submitter: 'Käferhalle Süd \u{1f527}',
    issuedAt: '2026-03-01T09:30:00Z',
    supersedes: null,
    registration: 'none',
    receipts: [],
  },
  result,
}

/** A payload with some members of `issue` replaced. */
export function payloadWith(issue: Partial<SummaryPayload['issue']>): SummaryPayload {
  return { ...payload, issue: { ...payload.issue, ...issue } }
}
