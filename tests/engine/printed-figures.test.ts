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

describe('every printed peak, with a facility record and without', () => {
  const group = (relativeSd: number) => ({ relativeSd, degreesOfFreedom: 8, status: 'declared' }) as const
  const RECORDED = 0.004
  const facility = {
    id: 'cell',
    record: { repeatability: group(RECORDED), remounting: group(0.005), day: group(0.005) },
  }
  const torque = (value: number) => ({ peakTorque: { value, unit: 'N m' } }) as const
  const recorded = (baseline: Printed, modified: Printed, claims?: readonly Claim[]): Comparison => ({
    ...figures({ ...torque(80), ...baseline }, { ...torque(84), ...modified }, claims),
    facility,
  })

  type Ends = { readonly low: number | null; readonly high: number | null } | null | undefined
  const logs = (interval: Ends) =>
    [interval?.low, interval?.high].map((percentage) => Math.log1p((percentage ?? Number.NaN) / 100))
  const gainIn = async (comparison: Comparison, quantity: 'wheel-power' | 'wheel-torque') =>
    (await assess(comparison)).gains.corrected.find(({ of }) => of.quantity === quantity)

  test.each(['wheel-power', 'wheel-torque'] as const)('the plain interval of %s gives way by the lead', async (of) => {
    const plain = await gainIn(recorded({ bestOf: 1 }, { bestOf: 1 }), of)
    const wide = await gainIn(recorded({ bestOf: 2 }, { bestOf: 5 }), of)
    const [from, to] = [logs(plain?.relative), logs(wide?.relative)]
    expect(plain?.conditional).toBeNull()
    const lead = (bestOfShift(5) - bestOfShift(2)) * RECORDED
    expect((from[0] ?? 0) - (to[0] ?? 0)).toBeCloseTo(lead, 6)
    expect((to[1] ?? 0) - (from[1] ?? 0)).toBeCloseTo(0, 6)
    const level = ((wide?.baseline ?? 0) + (wide?.modified ?? 0)) / 2
    expect((plain?.absolute.low ?? 0) - (wide?.absolute.low ?? 0)).toBeCloseTo(lead * level, 3)
  })

  test.each([
    ['wheel-power', { resolution: 1 }, 1 / 71.2],
    ['wheel-torque', { torqueResolution: 1 }, 1 / 80],
  ] as const)('half a digit of %s widens its own interval, and no other', async (of, digit, room_1) => {
    for (const quantity of ['wheel-power', 'wheel-torque'] as const) {
      const plain = logs((await gainIn(recorded({ bestOf: 1 }, { bestOf: 1 }), quantity))?.relative)
      const coarse = { bestOf: 1, ...digit }
      const wide = logs((await gainIn(recorded(coarse, coarse), quantity))?.relative)
      expect((plain[0] ?? 0) - (wide[0] ?? 0)).toBeCloseTo(quantity === of ? room_1 : 0, 5)
      expect((wide[1] ?? 0) - (plain[1] ?? 0)).toBeCloseTo(quantity === of ? room_1 : 0, 5)
    }
  })

  test.each(['wheel-power', 'wheel-torque'] as const)('decides a claim about %s, and is said with it', async (of) => {
    const low = (await gainIn(recorded({ bestOf: 1 }, { bestOf: 1 }), of))?.relative.low ?? Number.NaN
    const claim: Claim = { ...peakClaim('c', percent(low - 0.1)), quantity: of }
    const judged = async (bestOf: number) => (await assess(recorded({ bestOf: 1 }, { bestOf }, [claim]))).claims[0]
    const single = await judged(1)
    expect(single?.judgement).toBe('supported')
    expect(single?.sentence).not.toContain('with room for')
    const best = await judged(6)
    expect(best?.judgement).toBe('undecided')
    expect(best?.sentence).toContain('with room for the best of several runs')
    const shown = await gainIn(recorded({ bestOf: 1 }, { bestOf: 6 }), of)
    expect(best?.interval.low).toBe(shown?.relative.low)
  })

  test('the conditional interval of the torque gives way as that of the power does', async () => {
    const of = async (bestOf: number) =>
      logs(
        (await gainIn(figures({ ...torque(80), bestOf: 1 }, { ...torque(84), bestOf }), 'wheel-torque'))?.conditional
          ?.relative,
      )
    const [single, best] = [await of(1), await of(4)]
    expect((single[0] ?? 0) - (best[0] ?? 0)).toBeCloseTo(bestOfShift(4) * CAUTIOUS, 6)
  })

  test('without a record, peaks of several mountings leave the room of the cautious repeatability', async () => {
    const mounted = (bestOf: number): Comparison => {
      const peak = (id: string, side: Run['side'], value: number, best: number): Run => ({
        id,
        side,
        mounting: id,
        purpose: 'measured',
        origin: 'reported',
        reported: { peakPower: { value, unit: 'kW' }, bestOf: best },
      })
      const runs = [
        ...[71.2, 71.5, 71.1].map((kW, i) => peak(`b${i}`, 'baseline', kW, 1)),
        ...[75.8, 76.3, 76].map((kW, i) => peak(`m${i}`, 'modified', kW, bestOf)),
      ]
      return { protocol: 'motorcycle-rollers@1', mountings: runs.map(({ id }) => ({ id })), runs }
    }
    const [single, best] = [await gainIn(mounted(1), 'wheel-power'), await gainIn(mounted(3), 'wheel-power')]
    expect(single?.relative.scope).toBe('reproducible')
    const [from, to] = [logs(single?.relative), logs(best?.relative)]
    expect((from[0] ?? 0) - (to[0] ?? 0)).toBeCloseTo(bestOfShift(3) * CAUTIOUS, 6)
    expect((to[1] ?? 0) - (from[1] ?? 0)).toBeCloseTo(0, 6)
  })

  test('the interval for these mountings alone leaves the same room', async () => {
    const noRemounting = { id: 'cell', record: { repeatability: group(RECORDED) } }
    const asMounted = async (bestOf: number) =>
      logs(
        (await gainIn({ ...recorded({ bestOf: 1 }, { bestOf }), facility: noRemounting }, 'wheel-torque'))?.asMounted,
      )
    const [single, best] = [await asMounted(1), await asMounted(3)]
    expect((single[0] ?? 0) - (best[0] ?? 0)).toBeCloseTo(bestOfShift(3) * RECORDED, 6)
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
