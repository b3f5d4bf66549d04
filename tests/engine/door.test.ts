/** What `@fairpull/sdk/engine` promises is there, and answers sensibly on a small case each. */
import { readFileSync } from 'node:fs'
import type { Comparison } from '@fairpull/sdk/contract'
import * as engine from '@fairpull/sdk/engine'
import { recordedSession, twoFigures } from '@fairpull/sdk/testing'
import { describe, expect, test } from 'vitest'

const distributions = {
  studentT: engine.studentT,
  fisherF: engine.fisherF,
  beta: engine.beta,
  chiSquare: engine.chiSquare,
  normal: engine.normal,
} as const

const promised = [
  ...Object.keys(distributions),
  'correctionFactor',
  'vapourPressure_Pa',
  'convert',
  'scalarInterval',
  'simultaneousBand',
  'facilityPrior',
  'holm',
  'sampleSize',
  'adviseSampleSize',
  'assess',
  'checkRun',
] as const

describe('the door of the engine', () => {
  test('holds all that is promised', () => {
    expect(promised.filter((name) => !(name in engine))).toEqual([])
  })

  test('is the one that the package names, and every promise has a docstring where it is declared', () => {
    const packageJson = new URL('../../packages/sdk/package.json', import.meta.url)
    const { exports } = JSON.parse(readFileSync(packageJson, 'utf8'))
    expect(exports['./engine'].types).toBe('./dist/local/index.d.ts')
    const doors = ['../../packages/sdk/src/engine/index.ts', '../../packages/sdk/src/local/index.ts']
    const undocumented = promised.filter((name) => {
      const source = doors.flatMap((door) => declaration(door, name)).at(0)
      return source === undefined || !new RegExp(`\\*/\\nexport (?:async )?(?:const|function) ${name}\\b`).test(source)
    })
    expect(undocumented).toEqual([])
  })
})

/** Text of the file that a door takes a name from. */
function declaration(door: string, name: string): readonly string[] {
  const url = new URL(door, import.meta.url)
  const line = readFileSync(url, 'utf8')
    .split('\n')
    .find((each) => new RegExp(`^export \\{[^}]*\\b${name}\\b[^}]*\\}`).test(each))
  const from = /from '([^']+)'/.exec(line ?? '')?.[1]
  return from === undefined ? [] : [readFileSync(new URL(from, url), 'utf8')]
}

describe('distributions', () => {
  // Upper points as printed tables give them.
  test.each<readonly [string, number, number, number]>([
    [
      'Student t, 10 degrees of freedom',
      2.228,
      engine.studentT.quantile(0.975, 10),
      engine.studentT.cdf(2.228, 10) - 0.975,
    ],
    ['Fisher F, 3 and 10', 3.708, engine.fisherF.quantile(0.95, 3, 10), engine.fisherF.cdf(3.708, 3, 10) - 0.95],
    ['chi-square, 5', 11.07, engine.chiSquare.quantile(0.95, 5), engine.chiSquare.cdf(11.07, 5) - 0.95],
    ['normal', 1.96, engine.normal.quantile(0.975), engine.normal.cdf(1.96) - 0.975],
  ])('%s', (_, printed, quantile, off) => {
    expect(quantile).toBeCloseTo(printed, 3)
    expect(off).toBeCloseTo(0, 4)
  })

  test('beta: with a = 1 the distribution function is 1 − (1 − x)^b', () => {
    expect(engine.beta.cdf(0.3, 1, 4)).toBeCloseTo(1 - 0.7 ** 4, 12)
    expect(engine.beta.quantile(1 - 0.7 ** 4, 1, 4)).toBeCloseTo(0.3, 12)
  })

  test('each has a distribution function and its inverse', () => {
    for (const distribution of Object.values(distributions))
      expect(distribution).toMatchObject({ cdf: expect.any(Function), quantile: expect.any(Function) })
  })
})

describe('physics', () => {
  test('SAE J1349: 1 in its own reference air', () => {
    const air = { stationPressure_Pa: 99_000, airTemperature_K: 298.15, relativeHumidity_1: 0 }
    expect(engine.correctionFactor('sae-j1349-jun90', air)).toMatchObject({
      kind: 'factor',
      factor: expect.closeTo(1, 12),
    })
  })

  test('WMO-No. 8: water vapour at 20 °C is 6.112 e^(17.62 · 20 / 263.12) hPa when saturated, in proportion below', () => {
    expect(engine.vapourPressure_Pa(293.15, 1)).toBeCloseTo(611.2 * Math.exp((17.62 * 20) / 263.12), 6)
    expect(engine.vapourPressure_Pa(293.15, 0.5)).toBeCloseTo(engine.vapourPressure_Pa(293.15, 1) / 2, 9)
  })

  test('NIST SP 811: one horsepower is 745.6999 W', () => {
    expect(engine.convert(1, 'hp', 'W')).toBeCloseTo(745.6999, 4)
  })
})

/** Baseline 98.2 98.9 98.5, modified 101.9 101.4 102.2, one mounting: the check of measurement-model §4. */
const runs = {
  sides: [0, 0, 0, 1, 1, 1],
  mountings: ['m', 'm', 'm', 'm', 'm', 'm'],
  t: Float64Array.of(0, 1, 2, 3, 4, 5),
  factors: [1, 1, 1, 1, 1, 1],
  days: null,
  isRelative: true,
  hasWarmUpTerm: false,
  isOrderKnown: true,
} as const
const figures = Float64Array.of(98.2, 98.9, 98.5, 101.9, 101.4, 102.2)
const still: engine.FacilityFigures = {
  repeatRelSd: null,
  repeatDof: null,
  localRelSd: null,
  localCorrelation_rpm: null,
  localProfile: null,
  mountRelSd: null,
  mountDof: null,
  mountShapeRelSd: null,
  dayRelSd: null,
  dayDof: null,
  driftRelSdPerRun: 0,
  driftDof: null,
  ambientFracSd: 0,
  ambientDof: null,
  status: {},
}

describe('statistics', () => {
  test('scalarInterval: 3.3490 %, 2.4689 to 4.2366 %', () => {
    const outcome = engine.scalarInterval({ ...runs, values: figures, width_rpm: 0, record: still })
    const { estimate, interval } = outcome.ok ? outcome.fit : { estimate: Number.NaN, interval: null }
    const percent = (log: number | undefined) => 100 * Math.expm1(log ?? Number.NaN)
    expect(percent(estimate)).toBeCloseTo(3.349, 4)
    expect(percent(interval?.low)).toBeCloseTo(2.4689, 4)
    expect(percent(interval?.high)).toBeCloseTo(4.2366, 4)
  })

  test('simultaneousBand: wider than the interval at one speed, about the same gain', () => {
    const engineSpeed_rpm = Float64Array.from({ length: 41 }, (_, i) => 4000 + 50 * i)
    const outcome = engine.simultaneousBand({
      ...runs,
      record: null,
      curves: Array.from(figures, (level, run) =>
        engineSpeed_rpm.map((_, i) => level * (1 + 0.002 * Math.sin(run + i / 3))),
      ),
      engineSpeed_rpm,
      from_rpm: 4000,
      to_rpm: 6000,
      gridStart_rpm: 4000,
      gridEnd_rpm: 6000,
    })
    const value = outcome.ok ? outcome.value : null
    expect(value?.band?.critical ?? 0).toBeGreaterThan(value?.band?.pointwiseFactor ?? Number.POSITIVE_INFINITY)
    for (const gain of value?.gain ?? [Number.NaN]) expect(gain).toBeCloseTo(Math.log(1.0335), 1)
  })

  test('facilityPrior: sessions that agree pool to their variance, at 8 degrees of freedom while they are few', () => {
    const sessions = Array.from({ length: 4 }, () => ({ relativeVariance: 2.5e-5, dof: 400 }))
    const { relativeVariance, dof } = engine.facilityPrior(sessions)
    expect(relativeVariance / 2.5e-5).toBeCloseTo(1, 2)
    expect(dof).toBe(8)
  })

  test('holm: 0.01, 0.04, 0.03 become 0.03, 0.06, 0.06', () => {
    expect(engine.holm([0.01, 0.04, 0.03]).map((p) => Number(p.toFixed(12)))).toEqual([0.03, 0.06, 0.06])
  })

  test('sampleSize and its advice: a narrower interval takes more', () => {
    const totalFor = (halfWidth: number) => {
      const [first] = engine.sampleSize({
        target: { kind: 'half-width', halfWidth },
        figures: { repeatRelSd: 0.005, repeatDof: 8, mountRelSd: 0.005, mountDof: 10, otherVariance: 0 },
        isMountingShared: false,
      })
      return (first?.mountings ?? Number.NaN) * (first?.runs ?? Number.NaN)
    }
    expect(totalFor(0.008)).toBeGreaterThan(totalFor(0.016))
    const { designs } = engine.adviseSampleSize({
      protocol: 'motorcycle-rollers@1',
      target: { kind: 'half-width', halfWidth: { value: 1.2, unit: '%' } },
    })
    expect(designs[0]?.isEnough).toBe(true)
  })
})

describe('assessments', () => {
  test('assess: a recorded session supports its claim, two printed figures do not', async () => {
    expect((await engine.assess(recordedSession())).claims).toMatchObject([{ judgement: 'supported' }])
    expect((await engine.assess(twoFigures)).claims.map(({ judgement }) => judgement)).not.toContain('supported')
  })

  test('checkRun: a run of that session can be used', () => {
    const { protocol, runs: made, vehicles, driveTyres, facility, mountings } = recordedSession() as Comparison
    const run = made.find(({ purpose }) => purpose === 'measured')
    const [vehicle, driveTyre, mounting] = [vehicles?.[0], driveTyres?.[0], mountings?.[0]]
    if (run === undefined) throw new Error('no measured run')
    const report = engine.checkRun({
      protocol,
      run,
      ...(facility === undefined ? {} : { facility }),
      ...(vehicle === undefined ? {} : { vehicle }),
      ...(driveTyre === undefined ? {} : { driveTyre }),
      ...(mounting === undefined ? {} : { mounting }),
    })
    expect(report).toMatchObject({ run: run.id, isUsable: true })
    expect(report.findings.length).toBeGreaterThan(3)
  })
})
