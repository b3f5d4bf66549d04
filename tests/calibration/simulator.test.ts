/** The simulator itself: its noise has the sizes it says, its physics the directions it says, its documents can be read. */
import { describe, expect, test } from 'vitest'
import type { Run } from '../../packages/sdk/src/contract/index.ts'
import { readComparison } from '../../packages/sdk/src/contract/read-comparison.ts'
import {
  createRandom,
  type Fault,
  fullDisclosure,
  gaussianSmoothed,
  type MissingEvidence,
  meanOver,
  type Noise,
  noDisclosure,
  oracleGain,
  ordinaryFaults,
  ordinaryNoise,
  ordinaryPace,
  referenceMachine,
  type SessionRecipe,
  simulateSession,
} from '../../packages/sdk/src/testing/index.ts'
import { correctionFactor_1 } from '../../packages/sdk/src/testing/simulator/air.ts'
import { blocksOf, driftCovariates, slotsOf } from '../../packages/sdk/src/testing/simulator/design.ts'
import { localNoise } from '../../packages/sdk/src/testing/simulator/noise.ts'
import { bandMeanClaim, claimedBand, peakClaim, percent } from './claims.ts'
import { levelsOf, studentTail } from './naive.ts'

const SILENT: Noise = {
  ...ordinaryNoise,
  repeatability_1: 1e-12,
  heterogeneity_1: 0,
  local_1: 0,
  remounting_1: 0,
  tilt_1: 0,
  day_1: 0,
  driftPerRun_1: 0,
  ambientResidual_1: 0,
  sample_1: 0,
}

function recipe(changes: Partial<SessionRecipe> = {}): SessionRecipe {
  return {
    seed: 1,
    design: 'A|B',
    runsPerBlock: 3,
    gain: { shape: 'uniform', percent: 3 },
    claims: [bandMeanClaim('band-mean', percent(2)), peakClaim('peak', percent(2))],
    ...changes,
  }
}

function momentsOf(values: readonly number[]): { mean: number; sd: number } {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0)
  return { mean, sd: Math.sqrt(squares / (values.length - 1)) }
}

describe('a recipe', () => {
  test.each([
    ['a shape that is none', { shape: 'ramp', percent: 3 }, 'gain.shape'],
    ['no shape', { percent: 3 }, 'gain.shape'],
    [
      'a number that is missing',
      { shape: 'hump', floor_percent: 1, height_percent: 2, at_rpm: 8000 },
      'gain.width_rpm',
    ],
    ['a number that is none', { shape: 'uniform', percent: Number.NaN }, 'gain.percent'],
  ])('with %s is refused', (_, gain, path) => {
    // What a caller without types may hand over.
    const wrong = gain as SessionRecipe['gain']
    expect(() => simulateSession(recipe({ gain: wrong }))).toThrow(
      expect.objectContaining({ name: 'EngineError', code: 'ERR_OUT_OF_RANGE', path }),
    )
  })

  test.each([
    ['a sampling that is none', { by: 'distance', step_m: 1 }, 'sampling.by'],
    ['a step of no size', { by: 'speed', step_rpm: 0 }, 'sampling.step_rpm'],
    ['a rate that is missing', { by: 'time', interval_s: 0.01 }, 'sampling.rate_Hz'],
  ])('with %s is refused', (_, sampling, path) => {
    const wrong = sampling as unknown as NonNullable<SessionRecipe['sampling']>
    expect(() => simulateSession({ ...recipe({}), sampling: wrong })).toThrow(
      expect.objectContaining({ name: 'EngineError', code: 'ERR_OUT_OF_RANGE', path }),
    )
  })
})

describe('the random generator', () => {
  test('one seed gives one stream, another seed another', () => {
    const draw = (seed: number) => Array.from({ length: 5 }, createRandom(seed).uniform)
    expect(draw(7)).toEqual(draw(7))
    expect(draw(7)).not.toEqual(draw(8))
  })

  test('a fork depends on seed and label alone, not on what was drawn before it', () => {
    const fresh = createRandom(3)
    const used = createRandom(3)
    used.normal()
    expect(used.fork('x').uniform()).toBe(fresh.fork('x').uniform())
    expect(fresh.fork('x').uniform()).not.toBe(fresh.fork('y').uniform())
  })

  test('uniforms and normals have their mean and standard deviation within 5 standard errors of 40,000 draws', () => {
    const random = createRandom(11)
    const uniform = momentsOf(Array.from({ length: 40_000 }, random.uniform))
    const normal = momentsOf(Array.from({ length: 40_000 }, random.normal))
    expect(Math.abs(uniform.mean - 0.5)).toBeLessThan(5 * Math.sqrt(1 / 12 / 40_000))
    expect(Math.abs(uniform.sd - Math.sqrt(1 / 12))).toBeLessThan(0.003)
    expect(Math.abs(normal.mean)).toBeLessThan(5 / 200)
    expect(Math.abs(normal.sd - 1)).toBeLessThan(5 / Math.sqrt(80_000))
  })

  test('first draws of 2,000 neighbouring seeds are uniform: mean and share below a tenth within 5 standard errors', () => {
    const first = Array.from({ length: 2000 }, (_, seed) => createRandom(seed).uniform())
    expect(Math.abs(momentsOf(first).mean - 0.5)).toBeLessThan(5 * Math.sqrt(1 / 12 / 2000))
    const below = first.filter((value) => value < 0.1).length / 2000
    expect(Math.abs(below - 0.1)).toBeLessThan(5 * Math.sqrt(0.09 / 2000))
  })
})

describe('noise and design', () => {
  test('noise along the engine speed has standard deviation 1 and correlation exp(-1/2) at one correlation length', () => {
    const random = createRandom(5)
    const draws = Array.from({ length: 400 }, (_, k) => localNoise(101, 200, random.fork(`${k}`)))
    const squares = draws.flatMap((values) => Array.from(values, (value) => value * value))
    const products = draws.flatMap((values) => Array.from(values.subarray(4), (value, k) => value * (values[k] ?? 0)))
    expect(Math.abs(momentsOf(squares).mean - 1)).toBeLessThan(0.03)
    expect(Math.abs(momentsOf(products).mean - Math.exp(-0.5))).toBeLessThan(0.03)
  })

  test('A|B/A: three mountings on two days; no letter but A and B', () => {
    expect(blocksOf('A|B/A')).toEqual([
      { side: 'baseline', mounting: 0, day: 0 },
      { side: 'modified', mounting: 1, day: 0 },
      { side: 'baseline', mounting: 2, day: 1 },
    ])
    expect(() => blocksOf('AC')).toThrow(RangeError)
    expect(() => blocksOf('|')).toThrow(RangeError)
  })

  test('drift counts one per equal gap, at most four over a pause, one at a change of mounting', () => {
    const steady = { ...ordinaryPace, cadenceSd_s: 0, conditioningRuns: 0, cadence_s: 100, swap_s: 900 }
    expect(driftCovariates(slotsOf(blocksOf('ABA'), 2, steady, () => 0))).toEqual([0, 1, 5, 6, 10, 11])
    expect(driftCovariates(slotsOf(blocksOf('A|B'), 2, steady, () => 0))).toEqual([0, 1, 2, 3])
    expect(driftCovariates(slotsOf(blocksOf('A|B'), 1, steady, () => 0))).toEqual([0, 1])
  })

  test('sizes come out: runs within a mounting scatter by the repeatability, mounting means by the re-mounting', () => {
    const noise = { ...SILENT, repeatability_1: 0.005, remounting_1: 0.008 }
    const within: number[] = []
    const between: number[] = []
    for (let seed = 1; seed <= 300; seed += 1) {
      const { truth } = simulateSession(recipe({ seed, noise, channels: 'power-only' }))
      const [a, b] = [levelsOf(truth, 'baseline', claimedBand), levelsOf(truth, 'modified', claimedBand)]
      within.push(momentsOf(a).sd ** 2, momentsOf(b).sd ** 2)
      between.push(momentsOf(b).mean - momentsOf(a).mean - Math.log(1.03))
    }
    // 600 variances on 2 degrees of freedom: standard error of their mean 4.1 %; 300 differences: 4.1 % of the sd.
    expect(Math.sqrt(momentsOf(within).mean)).toBeCloseTo(0.005, 3)
    const expected = Math.sqrt(2 * (0.008 ** 2 + 0.005 ** 2 / 3))
    expect(Math.abs(momentsOf(between).sd / expected - 1)).toBeLessThan(0.2)
  })

  test('without noise the measured gain is the true gain', () => {
    const { truth } = simulateSession(recipe({ noise: SILENT }))
    const level = (side: 'baseline' | 'modified') => levelsOf(truth, side, claimedBand)[0] ?? Number.NaN
    expect(Math.exp(level('modified') - level('baseline'))).toBeCloseTo(1.03, 9)
    expect(truth.claims).toEqual([
      { claim: 'band-mean', value: expect.closeTo(3, 9) },
      { claim: 'peak', value: expect.closeTo(3, 9) },
    ])
  })

  test('the factor of the air is 1 in the reference air of UN R85: 99 kPa dry, 298 K', () => {
    const dry = { stationPressure_Pa: 99_000, cell_K: 298, intake_K: 298, relativeHumidity_1: 0 }
    expect(correctionFactor_1(dry)).toBe(1)
    expect(correctionFactor_1({ ...dry, intake_K: 308 })).toBeGreaterThan(1)
    expect(correctionFactor_1({ ...dry, stationPressure_Pa: 101_000 })).toBeLessThan(1)
  })

  test('an oracle that knows every variance is covered 95 % of the time', () => {
    const sessions = 300
    let covered = 0
    for (let seed = 1; seed <= sessions; seed += 1) {
      const { truth } = simulateSession(recipe({ seed, design: 'A|B/A|B', runsPerBlock: 2, channels: 'power-only' }))
      const { estimate, standardDeviation } = oracleGain(truth, claimedBand)
      if (Math.abs(estimate - Math.log(1.03)) <= 1.96 * standardDeviation) covered += 1
    }
    // Binomial standard error 1.26 %; four of them.
    expect(Math.abs(covered / sessions - 0.95)).toBeLessThan(0.05)
  })

  test("Student's tail agrees with printed quantiles: t(0.975, 3) = 3.182, t(0.975, 10) = 2.228", () => {
    expect(studentTail(3.182, 3)).toBeCloseTo(0.025, 4)
    expect(studentTail(2.228, 10)).toBeCloseTo(0.025, 4)
    expect(studentTail(-2.228, 10)).toBeCloseTo(0.975, 4)
  })
})

describe('documents', () => {
  const missing: readonly MissingEvidence[] = [
    'air',
    'engine-temperature',
    'tyre-pressure',
    'gear',
    'start-times',
    'counters',
    'mountings',
    'fuel',
    'mixture',
    'roller-speed',
  ]
  const faults: readonly Fault[] = [
    ...Object.values(ordinaryFaults),
    ...missing.map((what) => ({ kind: 'missing', what, side: 'both' }) as const),
  ]

  test.each(faults.map((fault) => [JSON.stringify(fault), fault] as const))('with %s can be read', (_, fault) => {
    const { comparison } = simulateSession(recipe({ faults: [fault], design: 'A|B|A' }))
    const reading = readComparison(comparison)
    expect(reading.ok ? [] : reading.problems).toEqual([])
  })

  test('one recipe gives one document; a fault leaves the noise of all other runs as it was', () => {
    const clean = simulateSession(recipe())
    expect(simulateSession(recipe()).comparison).toEqual(clean.comparison)
    const hot = simulateSession(recipe({ faults: [ordinaryFaults['heat-soak']] }))
    const baseline = (runs: readonly Run[]) => runs.filter(({ side }) => side === 'baseline')
    expect(baseline(hot.comparison.runs)).toEqual(baseline(clean.comparison.runs))
    expect(hot.comparison.runs).not.toEqual(clean.comparison.runs)
  })

  test('torque is power over angular speed, and roller speed follows the gear', () => {
    const { comparison } = simulateSession(recipe({ faults: [ordinaryFaults['gear-declared']] }))
    const channels = (id: string) => comparison.runs.find((run) => run.id === id)?.channels
    const value = (id: string, name: 'engineSpeed' | 'wheelPower' | 'torque' | 'rollerSpeed') =>
      channels(id)?.[name]?.values?.[40] ?? Number.NaN
    const omega = (value('a1', 'engineSpeed') * Math.PI) / 30
    expect(Math.abs((value('a1', 'torque') * omega) / (1000 * value('a1', 'wheelPower')) - 1)).toBeLessThan(1e-4)
    // Gears 5 and 4 of the reference machine: 1.11 and 1.27; slip differs by a few tenths of a per cent.
    expect(Math.abs(value('b1', 'rollerSpeed') / value('a1', 'rollerSpeed') / (1.11 / 1.27) - 1)).toBeLessThan(0.01)
  })

  test('a sweep sampled in time is as long as the energy of the rollers over the power asks', () => {
    const { comparison } = simulateSession(recipe({ noise: SILENT, sampling: { by: 'time', rate_Hz: 100 } }))
    const channels = comparison.runs.find(({ id }) => id === 'a1')?.channels
    const [speed, power] = [channels?.rollerSpeed?.values ?? [], channels?.wheelPower?.values ?? []]
    const mass_kg = referenceMachine.rollerInertia_kg_m2 / referenceMachine.rollerRadius_m ** 2
    const kinetic_J = (kmh: number) => 0.5 * mass_kg * (kmh / 3.6) ** 2
    const energy_J = kinetic_J(speed.at(-1) ?? 0) - kinetic_J(speed[0] ?? 0)
    const work_J = power.slice(1).reduce((sum, kW, k) => sum + 500 * (kW + (power[k] ?? 0)) * 0.01, 0)
    expect(Math.abs(work_J / energy_J - 1)).toBeLessThan(0.002)
  })

  test('a facility record states what was disclosed and no more', () => {
    const record = (disclosure: typeof fullDisclosure) =>
      simulateSession(recipe({ disclosure })).comparison.facility?.record
    expect(Object.keys(record(fullDisclosure) ?? {}).toSorted()).toEqual([
      'ambient',
      'appliesTo',
      'day',
      'drift',
      'localNoise',
      'on',
      'remounting',
      'repeatability',
      'study',
    ])
    expect(record(noDisclosure)).toBeUndefined()
    expect(record({ ...fullDisclosure, groups: ['day'] })?.repeatability).toBeUndefined()
  })

  test('faults that nobody mentions leave no trace in the setup', () => {
    const setups = (fault: Fault) =>
      simulateSession(recipe({ faults: [fault] })).comparison.runs.map(({ setup }) => setup)
    expect(new Set(setups(ordinaryFaults.gear).map((setup) => setup?.gear))).toEqual(new Set([5]))
    expect(new Set(setups(ordinaryFaults['gear-declared']).map((setup) => setup?.gear))).toEqual(new Set([5, 4]))
  })

  test('a starving run loses power where its mixture is lean, at the top of the range', () => {
    const clean = simulateSession(recipe({ noise: SILENT }))
    const starved = simulateSession(recipe({ noise: SILENT, faults: [ordinaryFaults['starvation-with-lambda']] }))
    const last = (session: typeof clean) => session.truth.runs.at(-1)
    const ratio = (from_rpm: number, to_rpm: number) => {
      const level = (session: typeof clean) => {
        const run = last(session)
        return run === undefined ? Number.NaN : meanOver(gaussianSmoothed(run), { from_rpm, to_rpm })
      }
      return level(starved) / level(clean)
    }
    expect(ratio(4000, 9000)).toBeCloseTo(1, 6)
    expect(ratio(10_800, 11_000)).toBeLessThan(0.96)
  })
})
