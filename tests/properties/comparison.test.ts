/** What must hold of any comparison, through the whole engine, on simulated sessions. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Claim, Comparison, Result, Run } from '../../packages/sdk/src/contract/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { simulateSession } from '../../packages/sdk/src/testing/index.ts'

/** Sessions looked at by each property. */
const SESSIONS = 25

const sessions = fc.record({
  seed: fc.nat(2 ** 31),
  design: fc.constantFrom('AB', 'ABA', 'ABAB', 'A|B', 'A|A|B|B', 'AB|AB'),
  runsPerBlock: fc.integer({ min: 1, max: 3 }),
  percent: fc.integer({ min: -4, max: 6 }),
})

const claim = (id: string, over: Claim['over'], unit: '%' | 'kW'): Claim => ({
  id,
  quantity: 'wheel-power',
  over,
  relation: 'at-least',
  gain: { value: 1, unit },
})
const band = { kind: 'band-mean', from: { value: 4000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } } as const
const claims = [
  claim('band', band, '%'),
  claim('speed', { kind: 'at-speed', speed: { value: 6000, unit: 'rpm' } }, '%'),
  claim('kilowatts', band, 'kW'),
]

type Asked = typeof sessions extends fc.Arbitrary<infer Each> ? Each : never

function comparisonOf({ percent, ...asked }: Asked): Comparison {
  return simulateSession({ ...asked, gain: { shape: 'uniform', percent }, claims, channels: 'power-only' }).comparison
}

const holds = (property: (comparison: Comparison) => Promise<void>) =>
  fc.assert(
    fc.asyncProperty(sessions, (asked) => property(comparisonOf(asked))),
    { numRuns: SESSIONS, seed: 20260502 },
  )

const mapRuns = (comparison: Comparison, change: (run: Run) => Run): Comparison => ({
  ...comparison,
  runs: comparison.runs.map(change),
})
const power =
  (change: (kW: number) => number, unit: 'kW' | 'hp' = 'kW') =>
  (run: Run): Run => {
    const channel = run.channels?.wheelPower
    if (channel === undefined) return run
    const values = (channel.values ?? []).map((value) => change(channel.unit === 'kW' ? value : value / 1000))
    return { ...run, channels: { ...run.channels, wheelPower: { unit, values } } as NonNullable<Run['channels']> }
  }

/** Interval of a claim as ratios of the sides: lower end, estimate, upper end. */
function ratios({ claims: judged }: Result, id: string): readonly (number | null)[] {
  const interval = judged.find((each) => each.claim === id)?.interval
  const ratio = (percent: number | null | undefined) => (percent == null ? null : 1 + percent / 100)
  return [ratio(interval?.low), ratio(interval?.estimate), ratio(interval?.high)]
}

function expectNear(found: readonly (number | null)[], wanted: readonly (number | null)[], relative = 1e-4): void {
  for (const [place, value] of found.entries()) {
    const other = wanted[place] ?? null
    if (value === null || other === null) expect(value).toBe(other)
    else expect(Math.abs(value / other - 1), `${value} against ${other}`).toBeLessThan(relative)
  }
}

describe('of every comparison', () => {
  test('swapping the sides turns the gain over', async () => {
    await holds(async (comparison) => {
      const swapped = mapRuns(comparison, (run) => ({
        ...run,
        side: run.side === 'baseline' ? 'modified' : 'baseline',
      }))
      const [one, other] = [await assess(comparison), await assess(swapped)]
      for (const id of ['band', 'speed']) {
        const turned = ratios(other, id).map((ratio) => (ratio === null ? null : 1 / ratio))
        expectNear(ratios(one, id), turned.toReversed())
      }
    })
  })

  test('horsepower in place of kilowatts change nothing', async () => {
    await holds(async (comparison) => {
      // 1 hp = 0.745 699 871 582 270 22 kW, NIST SP 811.
      const inHorsepower = mapRuns(
        comparison,
        power((kW) => kW / 0.745_699_871_582_270_2, 'hp'),
      )
      const [one, other] = [await assess(comparison), await assess(inHorsepower)]
      expect(other.standing).toBe(one.standing)
      expect(other.claims.map(({ judgement }) => judgement)).toEqual(one.claims.map(({ judgement }) => judgement))
      for (const { id } of claims) expectNear(ratios(other, id), ratios(one, id))
    })
  })

  test('other names of the runs change nothing', async () => {
    await holds(async (comparison) => {
      const renamed = mapRuns(comparison, (run) => ({ ...run, id: `z-${run.id}` }))
      const [one, other] = [await assess(comparison), await assess(renamed)]
      expect(other.claims).toEqual(one.claims)
      expect(other.gains).toEqual(one.gains)
      expect(other.standing).toBe(one.standing)
    })
  })

  test('a constant added to every power cancels in the absolute estimate', async () => {
    await holds(async (comparison) => {
      const uncorrected: Comparison = { ...comparison, reportIn: 'none' }
      const raised = mapRuns(
        uncorrected,
        power((kW) => kW + 5),
      )
      const estimate = async (each: Comparison) =>
        (await assess(each)).claims.find((judged) => judged.claim === 'kilowatts')?.interval.estimate ?? null
      const [one, other] = [await estimate(uncorrected), await estimate(raised)]
      if (one === null || other === null) expect(other).toBe(one)
      // The weights of the contrast follow the level, so a few parts in a thousand of a kilowatt may move.
      else expect(Math.abs(other - one)).toBeLessThan(0.02)
    })
  })

  test('residuals scaled up never narrow an interval that is got in the same way', async () => {
    let wider = 0
    await holds(async (comparison) => {
      const plain: Comparison = { ...comparison, reportIn: 'none' }
      const [one, other] = [await assess(plain), await assess(withResidualsScaled(plain, 3))]
      // What a check finds in wilder runs may change which terms count; then the two are not to be compared.
      if (wayOf(one) !== wayOf(other)) return
      const [narrow, wide] = [halfWidth(one), halfWidth(other)]
      if (narrow === null || wide === null) expect(wide).toBe(narrow)
      else expect(wide).toBeGreaterThanOrEqual(narrow * (1 - 1e-4))
      if (narrow !== null && wide !== null && wide > narrow * 1.01) wider += 1
    })
    expect(wider).toBeGreaterThan(SESSIONS / 4)
  })

  // Where nothing is declared of re-mounting, more runs in each mounting lengthen the blocks and can widen:
  // measurement-model §14.8. A drift that more runs bring to light widens too, and by right: such sessions are left out.
  test.each(['AB', 'ABA', 'ABAB'] as const)(
    'an added run does not widen the interval on average: %s',
    async (design) => {
      const widened: number[] = []
      for (let seed = 1; seed <= SESSIONS; seed++)
        for (const runsPerBlock of [2, 3, 4]) {
          const comparison = comparisonOf({ seed, design, runsPerBlock, percent: 2 })
          const more = await assess(comparison)
          const less = await assess({ ...comparison, runs: comparison.runs.slice(0, -1) })
          if ([more, less].some((result) => inKilowatts(result)?.twoDriftModels !== false)) continue
          widened.push((halfWidth(more) ?? Number.NaN) - (halfWidth(less) ?? Number.NaN))
        }
      expect(widened.length).toBeGreaterThan(2 * SESSIONS)
      expect(widened.reduce((sum, change) => sum + change, 0) / widened.length).toBeLessThan(0)
    },
  )
})

/** The same comparison with every run of a mounting and side further from their mean by a factor, at each sample. */
function withResidualsScaled(comparison: Comparison, factor: number): Comparison {
  const cellOf = (run: Run) => `${run.mounting} ${run.side}`
  const cells = new Map<string, readonly (readonly number[])[]>()
  for (const run of comparison.runs) {
    const curve = run.channels?.wheelPower?.values
    if (curve !== undefined) cells.set(cellOf(run), [...(cells.get(cellOf(run)) ?? []), curve])
  }
  return mapRuns(comparison, (run) => {
    const { wheelPower } = run.channels ?? {}
    const curves = cells.get(cellOf(run)) ?? []
    if (wheelPower?.values === undefined) return run
    const values = wheelPower.values.map((value, k) => {
      const mean = curves.reduce((sum, curve) => sum + (curve[k] ?? Number.NaN), 0) / curves.length
      return mean + factor * (value - mean)
    })
    return {
      ...run,
      channels: { ...run.channels, wheelPower: { ...wheelPower, values } } as NonNullable<Run['channels']>,
    }
  })
}

const inKilowatts = ({ claims: judged }: Result) => judged.find(({ claim: id }) => id === 'kilowatts')?.interval

/** How the interval was got: its rule and reach, the terms of the budget and where each comes from. */
function wayOf(result: Result): string {
  const { rule, scope, twoDriftModels } = inKilowatts(result) ?? {}
  const terms = result.budget.map(({ term, type, status, degreesOfFreedom }) => [term, type, status, degreesOfFreedom])
  return JSON.stringify([rule, scope, twoDriftModels, terms])
}

function halfWidth(result: Result): number | null {
  const { low, high } = inKilowatts(result) ?? {}
  return low == null || high == null ? null : (high - low) / 2
}
