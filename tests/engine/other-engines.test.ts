/** Engines other than the four-stroke with spark ignition and natural aspiration. */
import { describe, expect, test } from 'vitest'
import type { Comparison, Vehicle } from '../../packages/sdk/src/contract/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import {
  celsius,
  conditions,
  evidenceFor,
  finding,
  keeping,
  onEvery,
  processing,
  valid,
  withoutConditions,
} from '../checks/fixture.ts'

type Engine = NonNullable<Vehicle['engine']>

const ordinary: Engine = { cycle: 'four-stroke', ignition: 'spark', aspiration: 'natural', fuelling: 'injection' }

function withEngine(members: Partial<Engine>, comparison: Comparison = valid): Comparison {
  const vehicles = (comparison.vehicles ?? []).map((vehicle) => ({ ...vehicle, engine: { ...ordinary, ...members } }))
  return { ...comparison, vehicles }
}

function withLambda(level: number, comparison: Comparison): Comparison {
  return onEvery((run) => {
    const { channels } = run
    if (channels?.engineSpeed?.values === undefined) return run
    const values = channels.engineSpeed.values.map(() => level)
    return { ...run, channels: { ...channels, mixture: { unit: '1', as: 'lambda', probe: 'bung', values } } }
  }, comparison)
}

describe('a boosted engine with spark ignition', () => {
  const boosted = withEngine({ aspiration: 'boosted' })

  test('gets no correction: the figures stand uncorrected, and a finding says why and what to do', async () => {
    const result = await assess(boosted)
    expect(result.gains.correction).toBe('none')
    expect(result.findings.find(({ check }) => check === 'air-within-standard')).toMatchObject({
      status: 'breached',
      sentence: expect.stringContaining('a correction would count the air twice. The figures stand uncorrected.'),
      remedy: 'Report uncorrected figures, and measure both sides in the same air.',
    })
    expect(result.standing).toBe('limited')
  })

  test('has the correction that its rig applied undone, since the rig knows the air alone', async () => {
    const uncorrected = await assess({ ...valid, reportIn: 'none' })
    const factors = new Map(
      evidenceFor(valid).correction.runs.map(({ run, wanted }) => [
        run.id,
        wanted?.kind === 'factor' ? wanted.factor : 1,
      ]),
    )
    const corrected = onEvery((run) => {
      const power = run.channels?.wheelPower
      if (power?.values === undefined) return run
      const values = power.values.map((value) => value * (factors.get(run.id) ?? 1))
      const { torque: _, ...channels } = run.channels ?? {}
      return processing({ correction: 'un-r85' })({
        ...run,
        channels: { ...channels, wheelPower: { ...power, values } },
      })
    }, boosted)
    const { gains } = await assess(corrected)
    expect(gains.correction).toBe('none')
    expect(gains.corrected[0]?.baseline).toBeCloseTo(uncorrected.gains.corrected[0]?.baseline ?? Number.NaN, 3)
  })

  test('has its two airs compared all the same', () => {
    expect(finding('air-close', boosted).observed).toBeCloseTo(Number(finding('air-close', valid).observed), 5)
  })

  test('reported uncorrected is not limited by it', () => {
    expect(finding('air-within-standard', { ...boosted, reportIn: 'none' }).status).toBe('not-applicable')
  })

  test('is held to the lambda limits at the least, and told that it needs more', () => {
    expect(finding('fuelling-sound', withLambda(1.05, boosted)).status).toBe('breached')
    const rich = finding('fuelling-sound', withLambda(0.85, boosted))
    expect(rich).toMatchObject({ status: 'met', sentence: expect.stringContaining('a boosted engine needs it richer') })
  })
})

describe('an engine with compression ignition', () => {
  const diesel = withEngine({ ignition: 'compression' })
  const turbocharged = withEngine({ ignition: 'compression', aspiration: 'boosted' })

  test.each([
    ['natural aspiration', diesel],
    ['boosted', turbocharged],
  ])('%s: a standard for spark ignition gives no factor', async (_, comparison) => {
    expect((await assess(comparison)).gains.correction).toBe('none')
    expect(finding('air-within-standard', comparison)).toMatchObject({
      status: 'breached',
      sentence: expect.stringContaining('engines of the other kind of ignition'),
    })
  })

  test('its own standard asks for the fuel delivery, not for less boost', () => {
    const found = finding('air-within-standard', { ...turbocharged, reportIn: 'un-r85-ci-turbocharged' })
    expect(found).toMatchObject({ status: 'breached', sentence: expect.stringContaining('fuel delivery') })
  })

  test('and that standard gives an engine with spark ignition no factor', () => {
    expect(finding('air-within-standard', withEngine({}, { ...valid, reportIn: 'un-r85-ci-natural' }))).toMatchObject({
      status: 'breached',
      sentence: expect.stringContaining('engines of the other kind of ignition'),
    })
  })

  test('published figures: its own standards are among the other causes, with what they would make', async () => {
    const figures = (ignition: Engine['ignition']): Comparison => ({
      protocol: 'motorcycle-rollers@1',
      vehicles: [{ id: 'v1', engine: { ...ordinary, ignition } }],
      runs: (['baseline', 'modified'] as const).map((side) => ({
        id: side,
        side,
        purpose: 'measured',
        origin: 'reported',
        setup: { vehicle: 'v1' },
        reported: { peakPower: { value: side === 'baseline' ? 71 : 74, unit: 'kW' } },
      })),
    })
    const causeFor = async (ignition: Engine['ignition']) =>
      (await assess(figures(ignition))).otherCauses?.find(({ cause }) => cause === 'another-correction')
    const [spark, compression] = [await causeFor('spark'), await causeFor('compression')]
    expect(compression?.basis).toContain('iso-1585-ci-turbocharged-liquid')
    expect(spark?.basis).not.toContain('-ci-')
    expect(compression?.size_percent ?? 0).toBeGreaterThan((spark?.size_percent ?? 0) + 1)
  })
})

describe('a two-stroke', () => {
  const twoStroke = (comparison: Comparison = valid) => withEngine({ cycle: 'two-stroke' }, comparison)
  const oilOnly = withoutConditions('coolantTemperature')
  const unconditioned = keeping(({ purpose }) => purpose === 'measured', oilOnly)
  const gearboxOil = onEvery(conditions({ oilTemperature: celsius(35) }), oilOnly)

  test('is not called cold by the oil of its gearbox', () => {
    expect(finding('warmed-up', gearboxOil)).toMatchObject({ status: 'breached' })
    expect(finding('warmed-up', twoStroke(gearboxOil))).toMatchObject({
      status: 'marginal',
      remedy: expect.stringContaining('an air-cooled two-stroke has conditioning runs only'),
    })
  })

  test('without coolant and conditioning runs is told what can be done', () => {
    expect(finding('warmed-up', twoStroke(unconditioned))).toMatchObject({
      status: 'not-evidenced',
      sentence: expect.stringContaining('a two-stroke has no engine oil to read'),
    })
  })

  test('is not matched by that oil, nor freed by it of the warm-up term', () => {
    expect(finding('engine-temperature-matched', oilOnly).status).toBe('met')
    expect(finding('engine-temperature-matched', twoStroke(oilOnly)).status).toBe('not-evidenced')
    expect(evidenceFor(unconditioned).input.hasWarmUpTerm).toBe(false)
    expect(evidenceFor(twoStroke(unconditioned)).input.hasWarmUpTerm).toBe(true)
  })

  test('has no lambda level to be held against', () => {
    expect(finding('fuelling-sound', withLambda(1.05, valid)).status).toBe('breached')
    expect(finding('fuelling-sound', withLambda(1.05, twoStroke()))).toMatchObject({
      status: 'met',
      sentence: expect.stringContaining('Scavenging air dilutes the exhaust of a two-stroke'),
    })
  })
})
