/** Studies through the whole engine: recorded curves in, the facility record out. */
import { describe, expect, test } from 'vitest'
import type { Study } from '../../packages/sdk/src/contract/index.ts'
import { facilityRecordSchema, readStudy } from '../../packages/sdk/src/contract/schemas.ts'
import { studyResultSchema } from '../../packages/sdk/src/contract/study-schema.ts'
import { assessStudy } from '../../packages/sdk/src/engine/index.ts'
import { ordinaryNoise, type StudyRecipe, simulateStudy } from '../../packages/sdk/src/testing/index.ts'

const QUIET = { ...ordinaryNoise, heterogeneity_1: 0, driftPerRun_1: 0, ambientResidual_1: 0 }
const STEADY = { isSteady: true, driftPerRun_1: 0, warmUp_1: 0 }
const EIGHT = { seed: 3, design: 'A|A|A|A|A|A|A|A', runsPerMounting: 3, noise: QUIET, trend: STEADY } as const

const studyOf = (recipe: Partial<StudyRecipe> = {}) => simulateStudy({ ...EIGHT, ...recipe }).study
const missingOf = (study: Study) => assessStudy(study).missing.map(({ part }) => part)

/** The study with only so many of its mountings, and so many measured runs in each. */
function cut(study: Study, mountings: number, runs: number): Study {
  const kept = study.mountings.slice(0, mountings)
  const counts = new Map<string, number>()
  return {
    ...study,
    mountings: kept,
    runs: study.runs.filter(({ mounting, purpose }) => {
      if (!kept.some(({ id }) => id === mounting)) return false
      if (purpose !== 'measured') return true
      counts.set(mounting, (counts.get(mounting) ?? 0) + 1)
      return (counts.get(mounting) ?? 0) <= runs
    }),
  }
}

/** Values of a channel that was written as a list. */
function valuesOf(channel: { readonly values?: readonly number[] }): readonly number[] {
  if (channel.values === undefined) throw new TypeError('simulated channels are lists')
  return channel.values
}

describe('a study of eight mountings on one day', () => {
  const study = studyOf()
  const result = assessStudy(study)

  test('reads, and its answer is of the contract', () => {
    expect(readStudy(study).ok).toBe(true)
    expect(studyResultSchema.safeParse(result).success).toBe(true)
  })

  test('gives a record in the form that a comparison takes', () => {
    expect(facilityRecordSchema.safeParse(result.record).success).toBe(true)
    expect(result.record).toMatchObject({
      study: 'simulated study',
      on: result.runs.at(-1)?.day,
      appliesTo: study.appliesTo,
      repeatability: { degreesOfFreedom: 8, status: 'measured' },
      remounting: { degreesOfFreedom: 7, status: 'measured', spacing: { unit: 'min' } },
    })
    expect(result.missing.map(({ part }) => part)).toEqual(['day'])
  })

  test('tells how its components were got, and on which degrees of freedom', () => {
    expect(result.components).toMatchObject({ analysis: 'nested-anova', isDayInMounting: false })
    expect(result.components?.of.map(({ source, degreesOfFreedom }) => [source, degreesOfFreedom])).toEqual([
      ['repeatability', 16],
      ['mounting', 7],
    ])
    expect(result.localDegreesOfFreedom).toBe(16)
    expect(result.prior).toMatchObject({ series: 8 })
  })

  test('names the runs that were used, each with its figure; conditioning runs are told, not used', () => {
    expect(result.runs).toHaveLength(24)
    expect(result.runs.every(({ bandMean_kW }) => (bandMean_kW ?? 0) > 40)).toBe(true)
    expect(result.notMeasured).toHaveLength(8)
    expect(result.findings.every(({ status }) => status !== 'breached')).toBe(true)
  })

  test('does not depend on the order in which its runs are handed in', () => {
    const { runs, mountings, ...rest } = study
    const shuffled = { ...rest, mountings: mountings.toReversed(), runs: runs.toReversed() }
    const { findings: _, ...turned } = assessStudy(shuffled)
    expect(result).toMatchObject({ record: turned.record, components: turned.components, runs: turned.runs })
  })

  test('one run less is no longer balanced', () => {
    const [last] = study.runs.filter(({ purpose }) => purpose === 'measured').slice(-1)
    const { components } = assessStudy({ ...study, runs: study.runs.filter((run) => run !== last) })
    expect(components?.analysis).toBe('reml')
    expect(components?.of[0]?.degreesOfFreedom).toBe(15)
  })
})

describe('simulated sizes come back', () => {
  const seeds = Array.from({ length: 12 }, (_, index) => 50 + index)
  const rootMeanSquare = (values: readonly number[]) =>
    Math.sqrt(values.reduce((sum, value) => sum + value ** 2, 0) / values.length)

  test('repeatability, re-mounting and local noise, over twelve studies of one day', () => {
    const records = seeds.map((seed) => assessStudy(studyOf({ seed })).record)
    const sds = (group: 'repeatability' | 'remounting' | 'localNoise') =>
      rootMeanSquare(records.map((record) => record?.[group]?.relativeSd ?? Number.NaN))
    // 12 · 16 and 12 · 7 degrees of freedom: standard errors of 5 and 8 %; three of them. The half rule lifts the re-mounting.
    expect(sds('repeatability') / QUIET.repeatability_1).toBeGreaterThan(0.85)
    expect(sds('repeatability') / QUIET.repeatability_1).toBeLessThan(1.15)
    expect(sds('remounting') / QUIET.remounting_1).toBeGreaterThan(0.76)
    expect(sds('remounting') / QUIET.remounting_1).toBeLessThan(1.3)
    // Smoothing takes some of the noise along the engine speed away, and draws its length out.
    expect(sds('localNoise') / QUIET.local_1).toBeGreaterThan(0.7)
    expect(sds('localNoise') / QUIET.local_1).toBeLessThan(1.05)
    const lengths = records.map((record) => record?.localNoise?.correlationLength.value ?? Number.NaN)
    expect(rootMeanSquare(lengths)).toBeGreaterThan(180)
    expect(rootMeanSquare(lengths)).toBeLessThan(320)
  })

  test('day and re-mounting apart, over studies of two mountings on each of six days', () => {
    const noise = { ...QUIET, day_1: 0.012 }
    const design = Array.from({ length: 6 }, () => 'A|A').join('/')
    const records = seeds.map((seed) => assessStudy(studyOf({ seed, design, noise, runsPerMounting: 2 })).record)
    const sds = (group: 'remounting' | 'day') =>
      rootMeanSquare(records.map((record) => record?.[group]?.relativeSd ?? Number.NaN))
    expect(records[0]).toMatchObject({ remounting: { degreesOfFreedom: 6 }, day: { degreesOfFreedom: 5 } })
    expect(sds('remounting') / noise.remounting_1).toBeGreaterThan(0.72)
    expect(sds('remounting') / noise.remounting_1).toBeLessThan(1.35)
    expect(sds('day') / noise.day_1).toBeGreaterThan(0.7)
    expect(sds('day') / noise.day_1).toBeLessThan(1.3)
  })
})

describe('not enough is data', () => {
  const study = studyOf()

  test.each([
    ['no runs', 0, 3, ['record']],
    ['one run', 1, 1, ['repeatability', 'remounting', 'day']],
    ['one mounting', 1, 3, ['repeatability', 'remounting', 'day']],
    ['one run in each of four mountings', 4, 1, ['repeatability', 'remounting', 'day']],
    ['two mountings', 2, 3, ['repeatability', 'remounting', 'day']],
    ['three mountings', 3, 2, ['remounting', 'day']],
    ['four mountings', 4, 2, ['day']],
  ])('%s', (_, mountings, runs, missing) => {
    expect(missingOf(cut(study, mountings, runs))).toEqual(missing)
  })

  test('every gap says what to add', () => {
    for (const { remedy, sentence } of assessStudy(cut(study, 1, 1)).missing) {
      expect(sentence).not.toBe('')
      expect(remedy).toMatch(/\.$/)
    }
    expect(assessStudy(cut(study, 0, 0)).verdict).toMatch(/^Not enough for a facility record\./)
  })

  test('a day for every mounting: the days are in the re-mounting value, and that is said', () => {
    const result = assessStudy(studyOf({ design: 'A/A/A/A/A' }))
    expect(result.components?.isDayInMounting).toBe(true)
    expect(result.record?.remounting?.degreesOfFreedom).toBe(4)
    expect(result.record?.day).toBeUndefined()
    expect(result.missing.find(({ part }) => part === 'day')?.sentence).toMatch(/cannot be told from mountings/)
  })

  test('a band that a run does not cover', () => {
    const wide = { ...study, band: { from: { value: 1000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } } } as const
    const result = assessStudy(wide)
    expect(result.record).toBeNull()
    expect(result.missing.some(({ sentence }) => sentence.includes('do not all cover 1,000 to 9,000 rpm'))).toBe(true)
  })

  test('printed figures instead of curves', () => {
    const runs = study.runs.map(({ channels: _, ...run }) => ({
      ...run,
      origin: 'reported' as const,
      reported: { peakPower: { value: 70, unit: 'kW' as const } },
    }))
    const result = assessStudy({ ...study, runs })
    expect(result.record).toBeNull()
    expect(result.missing[0]?.sentence).toMatch(/^No power curve: a1/)
  })
})

describe('what a study does not believe', () => {
  const study = studyOf({ design: 'A|A|A|A' })
  const measured = study.runs.filter(({ purpose }) => purpose === 'measured')

  test('copies are dropped: they would make the rig look better than it is', () => {
    const [first, second] = measured
    const copied = study.runs.map((run) =>
      run === second && first?.channels !== undefined ? { ...run, channels: first.channels } : run,
    )
    const result = assessStudy({ ...study, runs: copied })
    expect(result.excluded).toEqual([{ run: second?.id, rule: 'duplicate', reason: `A copy of run ${first?.id}.` }])
    expect(result.runs.map(({ run }) => run)).not.toContain(second?.id)
    expect(result.findings.find(({ check }) => check === 'no-duplicate-runs')?.status).toBe('breached')
  })

  test('a run that does not hold keeps the whole study from a record until it is left out', () => {
    const [first] = measured
    const cold = { value: 20, unit: 'degC' } as const
    const runs = study.runs.map((run) =>
      run === first
        ? { ...run, conditions: { ...run.conditions, coolantTemperature: cold, oilTemperature: cold } }
        : run,
    )
    const result = assessStudy({ ...study, runs })
    expect(result.record).toBeNull()
    expect(result.missing).toMatchObject([{ part: 'record', remedy: expect.stringContaining(first?.id ?? '') }])
    const excluded = [{ run: first?.id ?? '', rule: 'operator', reason: 'The engine was cold.' }] as const
    expect(assessStudy({ ...study, runs, excluded }).record?.remounting).toMatchObject({ degreesOfFreedom: 3 })
  })

  test('a run left out by choice makes the values declared; one in which its rule sees the fault does not', () => {
    const [first] = measured
    const leftOut = (rule: 'operator' | 'other' | 'slip') =>
      assessStudy({ ...study, excluded: [{ run: first?.id ?? '', rule, reason: 'It looked low.' }] })
    expect(leftOut('operator').record?.remounting?.status).toBe('declared')
    expect(leftOut('other').limits.join(' ')).toMatch(/left out by somebody’s choice/)
    expect(leftOut('slip').record?.remounting?.status).toBe('declared')

    // Seven samples are no trace, whoever looks.
    const every = <T>(values: readonly T[]) => values.filter((_, index) => index % 12 === 0)
    const runs = study.runs.map((run) => {
      if (run !== first || run.channels === undefined) return run
      const channels = Object.fromEntries(
        Object.entries(run.channels).map(([name, channel]) => [name, { ...channel, values: every(valuesOf(channel)) }]),
      )
      return { ...run, channels }
    })
    const excluded = [{ run: first?.id ?? '', rule: 'trace', reason: 'The recording broke off.' }] as const
    expect(assessStudy({ ...study, runs, excluded }).record?.remounting?.status).toBe('measured')
  })

  test('past series that are figures alone make the repeatability declared', () => {
    const past = Array.from({ length: 8 }, () => ({ relativeSd: 0.004, degreesOfFreedom: 2 }))
    const { record, prior } = assessStudy({ ...study, past })
    expect(prior?.series).toBe(12)
    expect(record?.repeatability?.status).toBe('declared')
    expect(record?.remounting?.status).toBe('measured')
  })

  test('runs read from charts, and runs of more than 12 months, make all of it declared', () => {
    const read = study.runs.map((run) => ({ ...run, origin: 'read-from-chart' as const }))
    expect(assessStudy({ ...study, runs: read }).record?.remounting?.status).toBe('declared')
    const long = study.runs.map((run) =>
      run.mounting === 'm1' ? { ...run, startedAt: run.startedAt?.replace(/^\d{4}/, '2020') ?? '' } : run,
    )
    expect(assessStudy({ ...study, runs: long }).record?.remounting?.status).toBe('declared')
  })

  test.each(['machine', 'strapping', 'class'] as const)(
    'another %s than its own runs state makes all of it declared, and that is told',
    (part) => {
      const { record, limits } = assessStudy({ ...study, appliesTo: { ...study.appliesTo, [part]: 'another' } })
      expect(record?.remounting?.status).toBe('declared')
      expect(limits.join(' ')).toMatch(/states another machine, class or strapping than the record is to apply to/)
    },
  )

  test('runs that state nothing of the scope leave it to the study', () => {
    const { label: _, class: __, ...vehicle } = study.vehicle
    const mountings = study.mountings.map(({ strapping: ___, ...mounting }) => mounting)
    expect(assessStudy({ ...study, vehicle, mountings }).record?.remounting?.status).toBe('measured')
  })

  test('without dates the record has none, so that it counts as declared', () => {
    const runs = study.runs.map(({ startedAt: _, ...run }) => run)
    const mountings = study.mountings.map(({ at: _, ...mounting }) => mounting)
    const { record, limits, figures } = assessStudy({ ...study, runs, mountings })
    expect(record).not.toHaveProperty('on')
    expect(figures.days).toBeNull()
    expect(limits.join(' ')).toMatch(/count as declared/)
  })

  test('what was not alike on every run is found and told', () => {
    const runs = study.runs.map((run) =>
      run.mounting === 'm2' ? { ...run, setup: { ...run.setup, fan: 'small fan' } } : run,
    )
    const { differences, limits } = assessStudy({ ...study, runs })
    expect(differences).toEqual([{ member: 'setup/fan', values: 2, isWithinMounting: false }])
    expect(limits.join(' ')).toMatch(/setup fan/)
  })
})
