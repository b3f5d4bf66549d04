import type { Comparison, Run, Side } from '@fairpull/sdk/contract'
import { simulateSession, type TrueRun } from '@fairpull/sdk/testing'
import { demoMachine, demoNoise } from './bench.ts'
import { comparisonSeed } from './seeds.ts'

/** Claim of the publication. */
const CLAIM = {
  id: 'peak',
  quantity: 'wheel-power',
  over: { kind: 'peak' },
  relation: 'at-least',
  gain: { value: 3, unit: '%' },
} as const

const W_PER_HP = 745.699_871_582_27

/**
 * A reviewer's case: two peak figures and their engine speeds out of an advertisement, and nothing else.
 *
 * What the advertisement does not say: the exhaust system truly gains 4 %, the machine was strapped down twice, and the
 * figure before is one run while the figure after is the best of five.
 */
export function publishedPeaks(seed: number): Comparison {
  const { comparison, truth } = simulateSession({
    seed: comparisonSeed('published-peaks', seed),
    design: 'A|B',
    runsPerBlock: 5,
    gain: { shape: 'uniform', percent: 4 },
    claims: [CLAIM],
    machine: demoMachine,
    noise: demoNoise({ repeatability_1: 0.003, remounting_1: 0.003 }),
  })
  const peaks = (side: Side) => truth.runs.filter(({ state }) => state.slot.side === side).map(peakOf)
  const best = peaks('modified').toSorted((a, b) => b.power_W - a.power_W)[0]
  return {
    protocol: comparison.protocol,
    vehicles: [{ id: 'v1', label: 'Demo twin, 800 cc (invented), as advertised' }],
    changes: [{ what: 'complete exhaust system', role: 'under-test' }],
    runs: [reportedRun('before', 'baseline', peaks('baseline')[0]), reportedRun('after', 'modified', best)],
    claims: [CLAIM],
  }
}

interface Peak {
  readonly power_W: number
  readonly speed_rpm: number
}

function peakOf({ speed_rpm, correctedPower_W }: TrueRun): Peak {
  const power_W = Math.max(...correctedPower_W)
  return { power_W, speed_rpm: speed_rpm[correctedPower_W.indexOf(power_W)] ?? Number.NaN }
}

function reportedRun(id: string, side: Side, peak: Peak | undefined): Run {
  if (peak === undefined) throw new RangeError(`no ${side} run to report`)
  return {
    id,
    side,
    purpose: 'measured',
    origin: 'reported',
    setup: { vehicle: 'v1' },
    reported: {
      peakPower: { value: Math.round((10 * peak.power_W) / W_PER_HP) / 10, unit: 'hp' },
      at: { value: peak.speed_rpm, unit: 'rpm' },
      resolution: 0.1,
    },
  }
}
