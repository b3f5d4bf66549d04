/** What figures that were only printed, or read from a chart, leave open. */
import { describe, expect, test } from 'vitest'
import type { Claim, Comparison, Reported, Run } from '../../packages/sdk/src/contract/index.ts'
import { bestOfShift } from '../../packages/sdk/src/engine/statistics/best-of.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { simulateSession } from '../../packages/sdk/src/testing/index.ts'
import { bandMeanClaim, peakClaim, percent } from '../calibration/claims.ts'

/** Scatter that the protocol assumes of a run nobody saw: its cautious repeatability. */
const CAUTIOUS = 0.008

type Printed = Omit<Reported, 'peakPower'>

function figures(
  baseline: Printed,
  modified: Printed,
  claims: readonly Claim[] = [peakClaim('c', percent(2))],
): Comparison {
  const run = (id: string, side: Run['side'], value: number, more: Printed): Run => ({
    id,
    side,
    purpose: 'measured',
    origin: 'reported',
    reported: { peakPower: { value, unit: 'kW' }, ...more },
  })
  return {
    protocol: 'motorcycle-rollers@1',
    runs: [run('before', 'baseline', 71.2, baseline), run('after', 'modified', 76, modified)],
    claims,
  }
}

/** Ends of the conditional interval, ln. */
async function ends(comparison: Comparison): Promise<readonly [number, number]> {
  const { gains } = await assess(comparison)
  const { low, high } = gains.corrected[0]?.conditional?.relative ?? {}
  return [Math.log1p((low ?? Number.NaN) / 100), Math.log1p((high ?? Number.NaN) / 100)]
}

/** How much lower and higher the ends lie than those of two single runs printed in full. */
async function room(baseline: Printed, modified: Printed): Promise<readonly [number, number]> {
  const plain = await ends(figures({ bestOf: 1 }, { bestOf: 1 }))
  const wide = await ends(figures(baseline, modified))
  return [plain[0] - wide[0], wide[1] - plain[1]]
}

describe('the lead of the best of several', () => {
  /** Standard normal distribution function by its Taylor series about 0. [1] */
  function phi(x: number): number {
    let [term, sum] = [x, x]
    for (let n = 1; n < 200; n++) {
      term *= (-x * x) / (2 * n)
      sum += term / (2 * n + 1)
    }
    return 0.5 + sum / Math.sqrt(2 * Math.PI)
  }

  /** E max = ∫₀^∞ (1 − Φᵏ) dx − ∫₋∞^0 Φᵏ dx: another integral than the engine's, by the midpoint rule. */
  function expectedBest(k: number): number {
    const h = 0.001
    let sum = 0
    for (let x = h / 2; x < 6; x += h) sum += 1 - phi(x) ** k - phi(-x) ** k
    return sum * h
  }

  // Printed to two digits, from memory: H. L. Harter, Biometrika 48 (1961) 151.
  test.each([
    [2, 0.56],
    [3, 0.85],
    [4, 1.03],
    [5, 1.16],
    [6, 1.27],
  ])('of %i runs by numerical integration of another form, and as tables print it', (k, printed) => {
    expect(bestOfShift(k)).toBeCloseTo(expectedBest(k), 6)
    expect(Math.abs(bestOfShift(k) - printed)).toBeLessThanOrEqual(0.005)
  })
})

describe('the conditional interval of printed figures', () => {
  test.each([2, 3, 4, 5, 6])(
    'the best of %i after, one run before: its lower end gives way by the lead',
    async (bestOf) => {
      const [down, up] = await room({ bestOf: 1 }, { bestOf })
      expect(down).toBeCloseTo(bestOfShift(bestOf) * CAUTIOUS, 6)
      expect(up).toBeCloseTo(0, 6)
    },
  )

  test('the best of several before: the upper end gives way', async () => {
    const [down, up] = await room({ bestOf: 4 }, { bestOf: 1 })
    expect(down).toBeCloseTo(0, 6)
    expect(up).toBeCloseTo(bestOfShift(4) * CAUTIOUS, 6)
  })

  test('where nobody says, either side may be the best of three, and neither gets the benefit', async () => {
    const [down, up] = await room({}, {})
    expect(down).toBeCloseTo(bestOfShift(3) * CAUTIOUS, 6)
    expect(up).toBeCloseTo(bestOfShift(3) * CAUTIOUS, 6)
  })

  test('the same count on both sides cancels', async () => {
    const [down, up] = await room({ bestOf: 5 }, { bestOf: 5 })
    expect([down, up].map((value) => Math.abs(value) < 1e-6)).toEqual([true, true])
  })

  test('half a printed digit on each side widens both ends', async () => {
    const [down, up] = await room({ bestOf: 1, resolution: 1 }, { bestOf: 1, resolution: 1 })
    // Half a step of 1 kW at 71.2 kW, on either side.
    expect(down).toBeCloseTo(1 / 71.2, 5)
    expect(up).toBeCloseTo(1 / 71.2, 5)
  })

  test('is said with the judgement, in words and figures', async () => {
    const { claims } = await assess(figures({}, {}))
    expect(claims[0]?.conditional?.sentence).toContain('with room for the best of several runs')
    expect(claims[0]?.conditional?.sentence).toContain('0.68 % down, 0.68 % up')
    const single = await assess(figures({ bestOf: 1 }, { bestOf: 1 }))
    expect(single.claims[0]?.conditional?.sentence).not.toContain('with room for')
  })

  test('decides the judgement as well: what one run each would support, the best of six does not', async () => {
    const plain = await assess(figures({ bestOf: 1 }, { bestOf: 1 }))
    const low = plain.claims[0]?.conditional?.interval.low ?? Number.NaN
    const claim = [peakClaim('c', percent(low - 0.1))]
    const judged = async (after: Printed) => (await assess(figures({ bestOf: 1 }, after, claim))).claims[0]?.conditional
    expect((await judged({ bestOf: 1 }))?.judgement).toBe('supported')
    expect((await judged({ bestOf: 6 }))?.judgement).toBe('undecided')
  })

  test('of an absolute claim gives way by the same share of the level', async () => {
    const claim = [peakClaim('c', { value: 1, unit: 'kW' })]
    const low = async (after: Printed) =>
      (await assess(figures({ bestOf: 1 }, after, claim))).claims[0]?.conditional?.interval.low ?? Number.NaN
    expect((await low({ bestOf: 1 })) - (await low({ bestOf: 6 }))).toBeCloseTo(
      bestOfShift(6) * CAUTIOUS * ((71.2 + 76) / 2),
      3,
    )
  })

  test('never gets narrower than that of figures whose origin is said', async () => {
    const { runs, ...rest } = figures({ bestOf: 1 }, { bestOf: 1 })
    const unsaid = { ...rest, runs: runs.map(({ origin: _, ...run }) => run) }
    expect((await assess(unsaid)).claims[0]?.conditional?.on).toBe('cautious')
    expect(await ends(unsaid)).toEqual(await ends(figures({ bestOf: 1 }, { bestOf: 1 })))
  })
})

describe('a curve that was read from a chart', () => {
  const recipe = { seed: 4, design: 'ABA', runsPerBlock: 3, gain: { shape: 'uniform', percent: 4 } } as const
  const { comparison } = simulateSession({ ...recipe, claims: [bandMeanClaim('c1', percent(1))] })
  const charted = (id: string): Comparison => ({
    ...comparison,
    runs: comparison.runs.map((run) => (run.id === id ? { ...run, origin: 'read-from-chart' } : run)),
  })

  test('limits the standing, with a sentence that goes with every judgement', async () => {
    const result = await assess(charted('b1'))
    expect((await assess(comparison)).scope.join(' ')).not.toContain('Read from a chart')
    expect(result.standing).toBe('limited')
    expect(result.scope).toContain('Read from a chart: b1. What the drawing and its reading add is in no interval.')
    expect(result.claims[0]?.scope).toEqual(result.scope)
  })
})
