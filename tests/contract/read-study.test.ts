/** Studies are read by the rules of a comparison, and every pointer leads into the study. */
import { describe, expect, test } from 'vitest'
import { comparisonOfStudy } from '../../packages/sdk/src/contract/read-study.ts'
import { readComparison, readStudy } from '../../packages/sdk/src/contract/schemas.ts'
import { fullStudy } from './study-fixture.ts'

const problemsOf = (value: unknown) => {
  const reading = readStudy(value)
  return reading.ok ? [] : reading.problems.map(({ pointer, code }) => ({ pointer, code }))
}

describe('a study', () => {
  test('with every member is read', () => {
    expect(readStudy(fullStudy()).ok).toBe(true)
  })

  test('is the comparison of one side: every run of it, of the one machine, over the band', () => {
    const reading = readStudy(fullStudy())
    if (!reading.ok) throw new Error('the fixture reads')
    const comparison = comparisonOfStudy(reading.study)
    expect(readComparison(comparison).ok).toBe(true)
    expect(comparison.runs.map(({ side, setup }) => ({ side, vehicle: setup?.vehicle }))).toEqual([
      { side: 'baseline', vehicle: 'v1' },
      { side: 'baseline', vehicle: 'v1' },
    ])
    expect(comparison.claims?.[0]?.over).toMatchObject({ kind: 'band-mean', from: { value: 4000 } })
  })

  test('no runs and no mountings are legal: what is missing is the answer', () => {
    expect(problemsOf({ ...fullStudy(), mountings: [], runs: [], excluded: [] })).toEqual([])
  })
})

describe('refused', () => {
  test.each([
    ['no object', 7, '', 'ERR_WRONG_TYPE'],
    ['no scope', { ...fullStudy(), appliesTo: undefined }, '/appliesTo', 'ERR_WRONG_TYPE'],
    ['claims', { ...fullStudy(), claims: [] }, '/claims', 'ERR_UNKNOWN_MEMBER'],
    [
      'a band that does not go upwards',
      { ...fullStudy(), band: { from: { value: 9000, unit: 'rpm' }, to: { value: 4000, unit: 'rpm' } } },
      '/band/to',
      'ERR_CLAIM_BAND',
    ],
    [
      'a machine of another id',
      { ...fullStudy(), vehicle: { ...fullStudy().vehicle, id: 'another' } },
      '/mountings/0/setup/vehicle',
      'ERR_UNKNOWN_REFERENCE',
    ],
    [
      'a past series without scatter',
      { ...fullStudy(), past: [{ relativeSd: 0, degreesOfFreedom: 2 }] },
      '/past/0/relativeSd',
      'ERR_OUT_OF_RANGE',
    ],
    [
      'a part of the scope that is longer than a label',
      { ...fullStudy(), appliesTo: { ...fullStudy().appliesTo, strapping: 'x'.repeat(201) } },
      '/appliesTo/strapping',
      'ERR_BAD_TEXT',
    ],
  ])('%s', (_, value, pointer, code) => {
    expect(problemsOf(value)).toContainEqual({ pointer, code })
  })

  test('a run without its mounting', () => {
    const { runs, ...rest } = fullStudy()
    const { mounting: _, ...unmounted } = runs[0]
    expect(problemsOf({ ...rest, runs: [unmounted] })).toContainEqual({
      pointer: '/runs/0/mounting',
      code: 'ERR_MISSING_MEMBER',
    })
  })

  test('runs of both sides: the machine was changed between them', () => {
    const { runs, ...rest } = fullStudy()
    const other = { ...runs[1], id: 'm1', side: 'modified' }
    expect(problemsOf({ ...rest, runs: [...runs, other] })).toEqual([
      { pointer: '/runs/2/side', code: 'ERR_STUDY_SIDES' },
    ])
  })
})
