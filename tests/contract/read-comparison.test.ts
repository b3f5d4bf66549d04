/** What a comparison document may be, and how its problems are told. */
import { describe, expect, test } from 'vitest'
import { fieldProblemCodes } from '../../packages/sdk/src/contract/field-problem.ts'
import { MAX_PROBLEMS, readComparison } from '../../packages/sdk/src/contract/read-comparison.ts'
import {
  bandClaim,
  changed,
  claiming,
  type Draft,
  fullComparison,
  measuredRun,
  smallComparison,
} from './comparison-fixture.ts'
import { expectProblem, problems } from './refusals.ts'

describe('a comparison that is read', () => {
  test('every member of the contract, once', () => {
    const draft = fullComparison()
    const read = readComparison(draft)
    expect(read).toEqual({ ok: true, comparison: draft })
  })

  test('two curves and nothing else', () => {
    expect(readComparison(smallComparison()).ok).toBe(true)
  })

  test('two reported peaks and nothing else', () => {
    const run = { purpose: 'measured', reported: { peakPower: { value: 70, unit: 'kW' } } }
    const runs = [
      { ...run, id: 'b1', side: 'baseline' },
      { ...run, id: 'm1', side: 'modified' },
    ]
    expect(problems({ protocol: 'motorcycle-rollers@1', runs })).toEqual([])
  })

  test('roller speed over time in place of engine speed', () => {
    const draft = smallComparison()
    draft.runs[0].channels = {
      time: { values: [0, 1, 2], unit: 's' },
      rollerSpeed: { values: [20, 25, 30], unit: 'm/s' },
    }
    expect(problems(draft)).toEqual([])
  })

  test('weak evidence is left to the checks: no runs of one side, one counter twice, a claim beyond the curves', () => {
    expect(problems({ protocol: 'motorcycle-rollers@1', runs: [] })).toEqual([])
    const draft = claiming({ over: { ...bandClaim().over, to: { value: 20_000, unit: 'rpm' } } })
    for (const run of draft.runs) Object.assign(run, { counter: 7, sequence: 1 })
    expect(problems(draft)).toEqual([])
  })

  test('hot, thin and humid air, sea-level pressure on a mountain: credible or not is for the checks to say', () => {
    const draft = changed('/mountings/0/conditions/stationPressure', { value: 1013.25, unit: 'hPa' })
    draft.facility.altitude = { value: 2000, unit: 'm' }
    draft.mountings[0].conditions.relativeHumidity = { value: 100, unit: '%' }
    draft.mountings[0].conditions.cellAirTemperature = { value: 60, unit: 'degC' }
    expect(problems(draft)).toEqual([])
  })

  test('a run that was broken off needs no figures and no sweep', () => {
    const draft = smallComparison()
    draft.runs.push({ id: 'x1', side: 'baseline', purpose: 'aborted' })
    draft.runs.push({ ...measuredRun('x2', 'baseline'), purpose: 'aborted', channels: falling() })
    expect(problems(draft)).toEqual([])
  })

  test('the input is not changed and channel arrays are not copied', () => {
    const draft = fullComparison()
    const before = structuredClone(draft)
    const read = readComparison(draft)
    expect(draft).toEqual(before)
    expect(read.ok && read.comparison.runs[0]?.channels?.time?.values).toBe(draft.runs[0].channels.time.values)
  })
})

function falling(): Draft {
  return { engineSpeed: { values: [6000, 5000, 6000], unit: 'rpm' }, wheelPower: { values: [1, 2, 3], unit: 'kW' } }
}

describe('many problems', () => {
  test('10,000 runs are one problem', () => {
    const draft = { protocol: 'motorcycle-rollers@1', runs: Array(10_000).fill({ nonsense: true }) }
    expectProblem(draft, '/runs', 'ERR_TOO_MANY', '10000', '1000')
  })

  test('1,000 runs are read', () => {
    const runs = Array.from({ length: 1000 }, (_, index) => measuredRun(`r${index}`, 'baseline'))
    expect(problems({ protocol: 'motorcycle-rollers@1', runs })).toEqual([])
  })

  test('all are named, those of the shape and those of the sense', () => {
    const draft = changed('/runs/1/side', 'after')
    draft.mountings[0].conditions.relativeHumidity = { value: 55, unit: '1' }
    draft.claims[0].over.to.value = 4000
    draft.excluded[0].run = 'b1'
    expect(problems(draft).map(({ pointer }) => pointer)).toEqual([
      '/runs/1/side',
      '/mountings/0/conditions/relativeHumidity/value',
      '/claims/0/over/to',
    ])
  })

  test('nothing is said of references into a list that could not be read whole', () => {
    const draft = changed('/mountings/0/id', 5)
    expect(problems(draft).map(({ pointer }) => pointer)).toEqual(['/mountings/0/id'])
  })

  test('50 are listed, and one more says how many there are', () => {
    const draft = smallComparison()
    for (let index = 0; index < MAX_PROBLEMS; index += 1) draft[`x${index}`] = 1
    expect(problems(draft)).toHaveLength(MAX_PROBLEMS)
    draft.y = 1
    const found = problems(draft)
    expect(found).toHaveLength(MAX_PROBLEMS + 1)
    expect(found.at(-1)).toMatchObject({ pointer: '', code: 'ERR_MORE_PROBLEMS' })
    expect(found.at(-1)?.detail).toContain('At least 1 more')
  })

  test('a list too long is one problem, whatever it holds', () => {
    const draft = { ...smallComparison(), claims: Array(100_000).fill(0) }
    expectProblem(draft, '/claims', 'ERR_TOO_MANY', '100000', '100')
  })

  test('a name of hostile length is cut', () => {
    const [found] = problems({ ...smallComparison(), ['k'.repeat(1_000_000)]: 1 })
    expect(found?.code).toBe('ERR_UNKNOWN_MEMBER')
    expect(JSON.stringify(found).length).toBeLessThan(1000)
  })
})

describe('codes', () => {
  test('every code is upper snake, begins with ERR_, and stands once', () => {
    expect(fieldProblemCodes.filter((code) => !/^ERR_[A-Z0-9]+(_[A-Z0-9]+)*$/.test(code))).toEqual([])
    expect(new Set(fieldProblemCodes).size).toBe(fieldProblemCodes.length)
  })

  test('pointers escape ~ and / (RFC 6901 §3)', () => {
    expectProblem({ ...smallComparison(), 'a/b~c': 1 }, '/a~1b~0c', 'ERR_UNKNOWN_MEMBER')
  })
})
