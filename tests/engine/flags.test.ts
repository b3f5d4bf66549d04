/** What a reader must know of the analysis of the headline gain. */
import { describe, expect, test } from 'vitest'
import type { Comparison, FacilityRecord, Flag, Run } from '../../packages/sdk/src/contract/index.ts'
import { sideScatter } from '../../packages/sdk/src/engine/statistics/side-scatter.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { type SessionRecipe, simulateSession } from '../../packages/sdk/src/testing/index.ts'
import { bandMeanClaim, percent } from '../calibration/claims.ts'

function session(recipe: Partial<SessionRecipe> = {}): Comparison {
  return simulateSession({
    seed: 4,
    design: 'ABA',
    runsPerBlock: 3,
    gain: { shape: 'uniform', percent: 4 },
    claims: [bandMeanClaim('c1', percent(1))],
    channels: 'power-only',
    ...recipe,
  }).comparison
}

/** The session with the power of its measured runs multiplied, run by run. */
function multiplied(comparison: Comparison, factorOf: (run: Run, index: number) => number): Comparison {
  const measured = comparison.runs.filter(({ purpose }) => purpose === 'measured')
  const runs = comparison.runs.map((run) => {
    const power = run.channels?.wheelPower
    if (power?.values === undefined || run.purpose !== 'measured') return run
    const values = power.values.map((value) => value * factorOf(run, measured.indexOf(run)))
    return { ...run, channels: { ...run.channels, wheelPower: { ...power, values } } }
  })
  return { ...comparison, runs }
}

function withRecord(comparison: Comparison, record: FacilityRecord): Comparison {
  return { ...comparison, facility: { id: 'rig', ...comparison.facility, record } }
}

async function flagsOf(comparison: Comparison): Promise<readonly Flag['flag'][]> {
  return ((await assess(comparison)).flags ?? []).map(({ flag }) => flag)
}

describe('sides that do not repeat alike', () => {
  const uneven = multiplied(session(), ({ side }, i) => (side === 'modified' ? 1 + 0.03 * ((i % 3) - 1) : 1))

  test('are flagged, with both standard deviations', async () => {
    const { flags } = await assess(uneven)
    const flag = flags?.find((each) => each.flag === 'sides_unequal')
    const [, baseline, modified] =
      /baseline scatters by ([\d.]+) % and the modified side by ([\d.]+) %/.exec(flag?.sentence ?? '') ?? []
    expect(Number(baseline)).toBeLessThan(1)
    expect(Number(modified)).toBeGreaterThan(2)
  })

  test('change no figure: the same interval as without the flag would have', async () => {
    const { flags: _, ...result } = await assess(uneven)
    expect(result.gains.corrected[0]?.relative.low).not.toBeNull()
    expect(result.budget.filter(({ term }) => term === 'repeatability')).toHaveLength(1)
  })

  test('that do carry no flag, and both standard deviations stand in the finding', async () => {
    const result = await assess(session())
    expect((result.flags ?? []).map(({ flag }) => flag)).not.toContain('sides_unequal')
    const finding = result.findings.find(({ check }) => check === 'repeatability')
    expect(finding?.sentence).toMatch(/baseline \d\.\d\d %, modified \d\.\d\d %/)
  })

  test('the limit is p = 0.05 of the F test', () => {
    // F(0.975; 2, 2) = 39.00 as in printed tables: sds of ratio 6.2 are let pass, of 6.3 not.
    const scatter = (ratio: number) =>
      sideScatter(Float64Array.of(-1, 0, 1, -ratio, 0, ratio), [0, 0, 0, 1, 1, 1], ['m', 'm', 'm', 'm', 'm', 'm'])
    expect(scatter(6.2).isUnequal).toBe(false)
    expect(scatter(6.3).isUnequal).toBe(true)
    expect(scatter(6.3).sds).toEqual([1, 6.3])
  })
})

describe('a gap between mountings', () => {
  const remounting = { relativeSd: 0.005, degreesOfFreedom: 8, status: 'measured' } as const
  const remounted = session({ design: 'A|B' })
  const spaced = (minutes: number) =>
    withRecord(remounted, { remounting: { ...remounting, spacing: { value: minutes, unit: 'min' } } })

  test('longer than one and a half times that of the record is flagged, with both', async () => {
    const { flags } = await assess(spaced(10))
    expect(flags?.find(({ flag }) => flag === 'mount_gap_longer_than_record')?.sentence).toMatch(
      /Between two mountings \d+ min passed, and 10 min when the facility record was made/,
    )
  })

  test('as long as that of the record is not, nor one of which a start or the record is silent', async () => {
    expect(await flagsOf(spaced(90))).not.toContain('mount_gap_longer_than_record')
    expect(await flagsOf(withRecord(remounted, { remounting }))).not.toContain('mount_gap_longer_than_record')
    const { runs, ...rest } = spaced(10)
    const unclocked = { ...rest, runs: runs.map(({ startedAt: _, ...run }) => run) }
    expect(await flagsOf(unclocked)).not.toContain('mount_gap_longer_than_record')
  })
})

describe('what the fit has to say', () => {
  test('a trend within the mountings', async () => {
    const { flags } = await assess(multiplied(session({ runsPerBlock: 4 }), (_, i) => 1 - 0.02 * i))
    expect(flags?.find(({ flag }) => flag === 'drift_detected')?.sentence).toMatch(
      /the power falls by (1\.\d+|2|2\.\d+) % a run/,
    )
  })

  test('runs that scatter more than the record lets expect', async () => {
    const quiet = withRecord(session(), {
      repeatability: { relativeSd: 0.001, degreesOfFreedom: 30, status: 'measured' },
    })
    expect(await flagsOf(multiplied(quiet, (_, i) => 1 + 0.015 * ((i % 3) - 1) ** 2))).toContain(
      'noisier_than_facility',
    )
  })

  test('mountings that differ more than the record lets expect', async () => {
    const steady = withRecord(session({ design: 'A|A|B|B', runsPerBlock: 2 }), {
      remounting: { relativeSd: 0.0005, degreesOfFreedom: 30, status: 'measured' },
    })
    const mountings = [...new Set(steady.runs.map(({ mounting }) => mounting))]
    const apart = multiplied(steady, ({ mounting }) => (mountings.indexOf(mounting) % 2 === 0 ? 0.97 : 1.03))
    expect(await flagsOf(apart)).toContain('mounting_scatter_above_declared')
  })

  test('a re-mounting that nobody knows, and a day', async () => {
    expect(await flagsOf(withRecord(session({ design: 'A|B' }), {}))).toContain('mounting_component_unknown')
    expect(await flagsOf(withRecord(session({ design: 'A/B' }), {}))).toContain('between_day_component_unknown')
  })

  test('mountings that are their own units with one degree of freedom', async () => {
    expect(await flagsOf(withRecord(session({ design: 'A|B|A' }), {}))).toContain('mounting_dof_1')
  })

  test('figures without any scatter', async () => {
    const reported = (id: string, side: Run['side'], value: number, sequence: number): Run => ({
      id,
      side,
      mounting: 'm1',
      sequence,
      purpose: 'measured',
      origin: 'reported',
      reported: { peakPower: { value, unit: 'kW' } },
    })
    const flags = await flagsOf({
      protocol: 'motorcycle-rollers@1',
      mountings: [{ id: 'm1' }],
      runs: [
        reported('b1', 'baseline', 71.2, 1),
        reported('b2', 'baseline', 71.2, 2),
        reported('m1', 'modified', 74, 3),
        reported('m2', 'modified', 74, 4),
      ],
    })
    expect(flags).toContain('zero_variance')
  })

  test('an order of which nothing tells, and air of which nothing is recorded', async () => {
    const { runs, mountings, ...rest } = session()
    const silent = runs.map(({ sequence: _, counter: __, startedAt: ___, conditions: ____, ...run }) => run)
    const bare = (mountings ?? []).map(({ conditions: _, ...mounting }) => mounting)
    const flags = await flagsOf({ ...rest, mountings: bare, runs: silent })
    expect(flags).toContain('order_unknown')
    expect(flags).toContain('ambient_not_evidenced')
  })

  test('a sound session: nothing', async () => {
    expect((await assess(session())).flags).toBeUndefined()
  })
})
