/** Answers that use every member of the contract, for the schemas; the figures mean nothing. */
import type { Draft } from './comparison-fixture.ts'

const digest = `sha256:${'0'.repeat(64)}`

/** A result with every member, no list empty and nothing null that can be something. */
export function fullResult(): Draft {
  return {
    method: '0.1.0',
    protocol: { id: 'motorcycle-rollers@1', digest },
    inputs: { comparison: digest, runs: [{ run: 'b1', digest }] },
    standing: 'limited',
    scope: ['As mounted.'],
    score: 81,
    verdict: 'Limited.',
    findings: [finding()],
    attribution: { underTest: ['filter'], alsoChanged: ['tune'], sentence: 'The gain belongs to both.' },
    alternatives: [],
    gains: {
      correction: 'as-printed',
      measuredAt: 'not-recorded',
      corrected: [gain()],
      uncorrected: [],
      curve: curve(),
    },
    budget: [
      { term: 'mounting', type: 'AB', standardUncertainty: 0.3, degreesOfFreedom: 4, share: 60, status: 'these-runs' },
    ],
    flags: [{ flag: 'sides_unequal', sentence: 'One side scatters more.' }],
    claims: [claimJudgement()],
    nextSteps: [{ cost: 'records', sentence: 'Find the notes.', settles: ['warmed-up'] }],
    cautions: [{ about: 'tyre', sentence: 'Mind the tyre.' }],
    otherCauses: [
      {
        cause: 'smoothing',
        size_percent: 2,
        sentence: 'Smoothing does it.',
        basis: 'assumed, no source',
        isEnough: true,
      },
    ],
    accounting: {
      recorded: 4,
      used: ['b1'],
      excluded: [{ run: 'm2', rule: 'duplicate', reason: 'A copy of m1.' }],
      notMeasured: [{ run: 'w1', purpose: 'conditioning' }],
      unlisted: 2,
      unaccounted: [214],
      perSide: { baseline: 1, modified: 1 },
      traces: [
        {
          run: 'b1',
          recorded: 1200,
          used: 900,
          beforeSweep: 100,
          afterSweep: 199,
          spikes: 1,
          repeatedTimes: 0,
          from_rpm: 3000,
          to_rpm: 11_000,
          rollerLag_s: 0.1,
          powerFrom: 'wheel-power',
          coastDownLoss: false,
        },
      ],
    },
    limits: ['The rig may lie.'],
  }
}

/** A signed payload with every member. */
export function fullPayload(): Draft {
  return {
    issue: {
      id: '018f0000-0000-7000-8000-000000000000',
      issuer: 'the bench',
      submitter: 'the shop',
      issuedAt: '2026-05-02T12:00:00Z',
      supersedes: '018f0000-0000-7000-8000-000000000001',
      registration: 'none',
      receipts: ['a receipt'],
    },
    result: fullResult(),
  }
}

/** An issued summary. */
export function fullIssuedSummary(): Draft {
  return { id: '018f0000-0000-7000-8000-000000000000', summary: 'e30.e30.AAAA', payload: fullPayload() }
}

/** An error answer. */
export function fullProblem(): Draft {
  return {
    type: 'https://example.org/problems/body-invalid',
    title: 'The body cannot be read',
    status: 422,
    detail: 'One member is refused.',
    code: 'ERR_BODY_INVALID',
    requestId: 'r-1',
    errors: [{ pointer: '/runs', code: 'ERR_MISSING_MEMBER', detail: 'The member is missing.' }],
  }
}

/** A protocol. */
export function fullProtocol(): Draft {
  const values = () => ({ repeatability: 0.005, localNoise: 0.003, remounting: 0.005, day: 0.005 })
  return {
    id: 'motorcycle-rollers@1',
    title: 'Motorcycles on rollers',
    assumed: { typical: values(), cautious: values() },
    checks: [
      {
        check: 'runs-enough',
        compares: 'usable runs per side',
        severity: 'scope',
        limits: { runs: { met: 3, marginal: 2, unit: '1' } },
        basis: 'common practice, no source',
        effect: { on: ['marginal', 'breached'], onlyWhenOneSideFirst: true },
        sharesGain: 'fewer runs',
      },
    ],
  }
}

function finding(): Draft {
  return {
    check: 'runs-enough',
    status: 'not-evidenced',
    severity: 'scope',
    observed: 2,
    limit: '3',
    unit: '1',
    runs: ['b1'],
    sentence: 'Two runs a side.',
    remedy: 'Make a third.',
    evidence: 'repeat',
    basis: 'common practice, no source',
  }
}

function interval(): Draft {
  return {
    estimate: 2.75,
    low: 2.1,
    high: 3.4,
    standardUncertainty: 0.3,
    coverageFactor: 2.1,
    degreesOfFreedom: 12,
    rule: 'howe',
    scope: 'reproducible',
    twoDriftModels: false,
  }
}

function gain(): Draft {
  return {
    of: { quantity: 'wheel-power', kind: 'band-mean', from_rpm: 4000, to_rpm: 6000 },
    baseline: 40,
    modified: 41,
    unit: 'kW',
    absolute: interval(),
    relative: interval(),
    asMounted: interval(),
    conditional: { on: 'typical', filled: ['day'], relative: interval() },
  }
}

function curve(): Draft {
  const band = () => ({ low: [1], high: [3] })
  return {
    engineSpeed_rpm: [4000],
    baseline_kW: [40],
    modified_kW: [41],
    gain_percent: [2],
    pointwise: band(),
    simultaneous: band(),
    scope: 'as-mounted',
    significant: [{ kind: 'gain', from_rpm: 4000, to_rpm: 5000 }],
    significantPointwise: [{ kind: 'loss', from_rpm: 3000, to_rpm: 3500 }],
  }
}

function claimJudgement(): Draft {
  return {
    claim: 'c1',
    statement: 'At least 2 %.',
    judgement: 'undecided',
    sentence: 'Too wide.',
    reason: 'as mounted only',
    scope: ['Holds for these mountings only.'],
    bandMean: interval(),
    unit: '%',
    over: { kind: 'at-speed', speed: { value: 5000, unit: 'rpm' } },
    interval: interval(),
    asMounted: interval(),
    supportP: 0.2,
    contradictionP: 0.8,
    conditional: { on: 'cautious', judgement: 'supported', sentence: 'Given those.', interval: interval() },
    smallest: { value: 1, at_rpm: 4000 },
    largest: { value: 3, at_rpm: 5000 },
  }
}
