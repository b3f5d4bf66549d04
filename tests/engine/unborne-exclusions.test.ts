/** Runs left out under a named rule, without a plan: the rule's own check has to say so. */
import { describe, expect, test } from 'vitest'
import type { Comparison, Exclusion, Run } from '../../packages/sdk/src/contract/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { simulateSession } from '../../packages/sdk/src/testing/index.ts'
import { bandMeanClaim, percent } from '../calibration/claims.ts'

const recipe = { seed: 4, design: 'ABA', runsPerBlock: 3, gain: { shape: 'uniform', percent: 4 } } as const
const { comparison } = simulateSession({ ...recipe, claims: [bandMeanClaim('c1', percent(1))] })
const measured = comparison.runs.filter(({ purpose }) => purpose === 'measured')
const [first] = measured
const id = first?.id ?? ''

function leavingOut(rule: Exclusion['rule'], change: (run: Run) => Run = (run) => run): Comparison {
  return {
    ...comparison,
    runs: comparison.runs.map((run) => (run.id === id ? change(run) : run)),
    excluded: [{ run: id, rule, reason: 'It did not suit.' }],
  }
}

async function counted(given: Comparison) {
  const { findings } = await assess(given)
  return findings.find(({ check }) => check === 'all-runs-counted')
}

/** Every channel of the run, changed value by value. */
function changed(
  run: Run,
  name: 'rollerSpeed' | 'wheelPower' | 'mixture',
  value: (old: number, speed: number) => number,
): Run {
  const speeds = run.channels?.engineSpeed?.values ?? []
  const channel = run.channels?.[name]
  if (channel?.values === undefined) throw new Error(`no ${name}`)
  const values = channel.values.map((old, i) => value(old, speeds[i] ?? 0))
  return { ...run, channels: { ...run.channels, [name]: { ...channel, values } } }
}

/** Lifted at 8,000 rpm: it does not cover the claimed band. */
function lifted(run: Run): Run {
  const count = (run.channels?.engineSpeed?.values ?? []).filter((speed) => speed <= 8000).length
  const channels = Object.fromEntries(
    Object.entries(run.channels ?? {}).map(([name, channel]) => [
      name,
      { ...channel, values: channel.values?.slice(0, count) },
    ]),
  )
  return { ...run, channels }
}

/** A tyre that spins: the engine turns ever faster than the rollers say. */
const slipping = (run: Run) =>
  changed(run, 'rollerSpeed', (old, speed) => old * (1 - Math.max(0, speed - 6000) / 40_000))

/** Fuel that runs short: the top end goes lean while the power falls away. */
const starving = (run: Run) =>
  changed(
    changed(run, 'mixture', (old, speed) => old + Math.max(0, speed - 9000) / 10_000),
    'wheelPower',
    (old, speed) => old * (1 - Math.max(0, speed - 9000) / 20_000),
  )

describe('a rule that its check bears out', () => {
  test.each([
    ['trace', lifted],
    ['slip', slipping],
    ['fuelling', starving],
  ] as const)('%s: every run is accounted for', async (rule, change) => {
    expect(await counted(leavingOut(rule, change))).toMatchObject({ status: 'met' })
  })
})

describe('a rule that its check does not bear out', () => {
  test.each([
    ['trace', 'trace-sound'],
    ['slip', 'speed-ratio-steady'],
    ['fuelling', 'fuelling-sound'],
  ] as const)('%s: counts as left out under none, and says so', async (rule, check) => {
    expect(await counted(leavingOut(rule))).toMatchObject({
      status: 'marginal',
      runs: [id],
      sentence: `${id} was left out under the rule ${rule}, which ${check} does not bear out; it counts as left out under none.`,
    })
  })

  test('a fault of another kind does not help', async () => {
    expect(await counted(leavingOut('fuelling', slipping))).toMatchObject({ status: 'marginal' })
  })

  test('a run whose evidence is missing is not borne out', async () => {
    const silent = (run: Run): Run => {
      const { rollerSpeed: _, ...channels } = run.channels ?? {}
      return { ...run, channels }
    }
    expect(await counted(leavingOut('slip', silent))).toMatchObject({ status: 'marginal' })
  })

  test('it costs what the rule "other" costs, and the gain with the run stands beside', async () => {
    const [unborne, other] = [await assess(leavingOut('slip')), await assess(leavingOut('other'))]
    expect(unborne.score).toBe(other.score)
    expect(unborne.standing).toBe(other.standing)
    expect(unborne.alternatives).toMatchObject([{ kind: 'with', runs: [id] }])
  })
})

test('the rule of the operator has no check to be asked', async () => {
  expect(await counted(leavingOut('operator'))).toMatchObject({ status: 'met' })
})
