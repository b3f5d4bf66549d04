/** Charts of standard deviations over several studies of one facility. */
import { describe, expect, test } from 'vitest'
import { controlChartSchema } from '../../packages/sdk/src/contract/schemas.ts'
import { assessStudy, type ChartedStudy, controlCharts } from '../../packages/sdk/src/engine/index.ts'
import { simulateStudy } from '../../packages/sdk/src/testing/index.ts'

const found = (study: string, relativeSd: number, degreesOfFreedom: number): ChartedStudy => ({
  study,
  on: '2026-05-02',
  scatter: [{ of: 'runs', relativeSd, degreesOfFreedom }],
})

describe('s chart', () => {
  test('equal degrees of freedom: centre line and limits are s̄, B3 s̄ and B4 s̄ of the tables', () => {
    const [chart] = controlCharts([found('a', 0.9, 9), found('b', 1.1, 9), found('c', 1, 9)])
    // n = 10: B3 = 0.284, B4 = 1.716 (from memory; B4 also in tests/published/control-chart.test.ts).
    expect(chart?.points[0]?.centre).toBeCloseTo(1, 6)
    expect(chart?.points[0]?.lower).toBeCloseTo(0.284, 3)
    expect(chart?.points[0]?.upper).toBeCloseTo(1.716, 3)
    expect(chart?.sentence).toMatch(/^All 3 studies lie within the limits/)
  })

  test('few degrees of freedom have no lower limit, and wider ones', () => {
    const [chart] = controlCharts([found('a', 1, 3), found('b', 1, 24)])
    const [few, many] = chart?.points ?? []
    expect(few?.lower).toBe(0)
    expect(many?.lower).toBeGreaterThan(0)
    expect(few?.upper ?? 0).toBeGreaterThan(many?.upper ?? Number.POSITIVE_INFINITY)
  })

  test('a study far off is named', () => {
    const ordinary = Array.from({ length: 9 }, (_, index) => found(`study ${index}`, 0.004, 16))
    const [chart] = controlCharts([...ordinary, found('the new straps', 0.012, 16)])
    expect(chart?.points.filter(({ isInControl }) => !isInControl).map(({ study }) => study)).toEqual([
      'the new straps',
    ])
    expect(chart?.sentence).toMatch(/^Outside the limits: the new straps\./)
  })

  test('one study is no chart yet, none is none', () => {
    expect(controlCharts([found('a', 1, 3)])[0]?.sentence).toMatch(/begins with the second/)
    expect(controlCharts([])).toEqual([])
    expect(controlCharts([{ study: 'a', on: null, scatter: [] }])).toEqual([])
  })
})

describe('charts of studies', () => {
  const studies = [1, 2, 3].map((seed) => {
    const { scatter, record } = assessStudy(simulateStudy({ seed, design: 'A|A|A|A', runsPerMounting: 2 }).study)
    return { study: `study ${seed}`, on: record?.on ?? null, scatter }
  })
  const charts = controlCharts(studies)

  test('of the runs and of the mounting means, in the form of the contract', () => {
    expect(charts.map(({ of, points }) => [of, points.length])).toEqual([
      ['runs', 3],
      ['mounting-means', 3],
    ])
    for (const chart of charts) expect(controlChartSchema.safeParse(chart).success).toBe(true)
  })
})
