import { describe, expect, test } from 'vitest'
import type { Claim, GainCurve } from '../../packages/sdk/src/contract/index.ts'
import { judgedCurves } from '../../packages/sdk/src/local/index.ts'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'
import { chartDocument } from '../../packages/service/src/report/chart/chart.ts'
import { type ChartData, chartData } from '../../packages/service/src/report/chart/chart-data.ts'
import { chartUnits, inUnit } from '../../packages/service/src/report/chart/chart-units.ts'
import { claimedLevels } from '../../packages/service/src/report/chart/claimed-levels.ts'
import { textOf } from '../../packages/service/src/report/markup.ts'
import { demoSource } from './demo-source.ts'

const options = { unit: 'kW', layout: 'wide', theme: 'light', idPrefix: 'c' } as const
const airFilter = await demoSource('air-filter')
const data = chartData(airFilter.payload.result, airFilter.comparison)

const svgOf = (of: ChartData, more: Partial<Parameters<typeof chartDocument>[1]> = {}) =>
  textOf(chartDocument(of, { ...options, ...more }))

/** Flat sides with a gain of 2 %, in bands of ±1 and ±2 %, from 4,000 to 4,100 rpm. */
const plainCurve: GainCurve = {
  engineSpeed_rpm: [4000, 4050, 4100],
  baseline_kW: [50, 50, 50],
  modified_kW: [51, 51, 51],
  gain_percent: [2, 2, 2],
  pointwise: { low: [1, 1, 1], high: [3, 3, 3] },
  simultaneous: { low: [0, 0, 0], high: [4, 4, 4] },
  scope: 'reproducible',
  significant: [
    { kind: 'gain', from_rpm: 4000, to_rpm: 4050 },
    { kind: 'loss', from_rpm: 4060, to_rpm: 4100 },
  ],
  significantPointwise: [],
}
const plain: ChartData = { standing: 'valid', curve: plainCurve, runs: [], levels: [], peaks: [] }

const claimOf = (unit: Claim['gain']['unit'], value: number, from: number, to: number): Claim => ({
  id: 'one',
  quantity: 'wheel-power',
  over: { kind: 'everywhere', from: { value: from, unit: 'rpm' }, to: { value: to, unit: 'rpm' } },
  relation: 'at-least',
  gain: { value, unit },
})

describe('the chart', () => {
  test('has the same bytes every time', () => {
    expect(svgOf(data)).toBe(svgOf(chartData(airFilter.payload.result, demoComparison('air-filter', 1))))
  })

  test('draws both means and every run used behind them', () => {
    const svg = svgOf(data)
    expect(svg.match(/class="fp-line fp-run" d=/g)).toHaveLength(airFilter.payload.result.accounting.used.length)
    expect(svg.match(/class="fp-line fp-(baseline|modified)" d=/g)).toHaveLength(2)
  })

  test('without the comparison draws what was signed, and neither runs nor claimed levels', () => {
    const svg = svgOf(chartData(airFilter.payload.result, null))
    expect(svg).not.toContain('single runs')
    expect(svg).not.toContain('class="fp-line fp-claim"')
    expect(svg).toContain('class="fp-line fp-modified" d=')
  })

  test('holds no script, no event handler and no address of anything elsewhere', () => {
    for (const unit of chartUnits) {
      const svg = svgOf(data, { unit })
      expect(svg).not.toMatch(/<script|\son\w+=|href|url\((?!#)|@import/i)
      expect(svg.match(/https?:[^"]*/g)).toEqual(['http://www.w3.org/2000/svg'])
    }
  })

  test('has a title, a description and ids that begin with their prefix', () => {
    const svg = svgOf(data, { idPrefix: 'one' })
    expect(svg).toContain('role="img" aria-labelledby="one-title one-desc"')
    const ids = [...svg.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id)
    expect(ids).toEqual([...new Set(ids)])
    expect(ids.every((id) => id?.startsWith('one-'))).toBe(true)
  })

  test('marks gain and loss beyond doubt by words as well as by fill', () => {
    const svg = svgOf(plain)
    expect(svg).toMatch(/class="fp-sure-gain"[^>]*\/><text[^>]*>gain</)
    expect(svg).toMatch(/class="fp-sure-loss" fill="url\(#c-loss\)"[^>]*\/><text[^>]*>loss</)
    expect(svg).toContain('Gain beyond doubt from 4,000 rpm to 4,050 rpm.')
  })

  test('of an invalid comparison speaks of a difference, and of nothing beyond doubt', () => {
    const svg = svgOf({ ...plain, standing: 'invalid' })
    expect(svg).toContain('not a gain')
    expect(svg).not.toMatch(/beyond doubt/i)
    expect(svg).not.toContain('class="fp-sure-gain" x')
  })

  test('draws the level of a claim at its value, over the speeds that it speaks of', () => {
    const { levels } = claimedLevels([claimOf('%', 0, 4000, 4050)], plainCurve)
    const svg = svgOf({ ...plain, levels })
    const [, x1, y, x2] = /class="fp-line fp-claim" d="M([\d.]+),([\d.]+)L([\d.]+),\2"/.exec(svg) ?? []
    const [, zero] = /class="fp-zero"[^>]*y1="([\d.]+)"/.exec(svg) ?? []
    // 4,000 to 4,050 rpm is the left half of the panel, and a claim of 0 % lies on the zero line.
    expect([x1, x2]).toEqual(['48', '377'])
    expect(y).toBe(zero)
    expect(svg).toContain('one: at least 0 %')
  })

  test('draws a claim in kilowatts as the share of the baseline that it is at each speed', () => {
    const curve = { ...plainCurve, baseline_kW: [50, 100, 40] }
    expect(claimedLevels([claimOf('kW', 1, 4000, 4100)], curve).levels).toEqual([
      expect.objectContaining({ speeds_rpm: [4000, 4050, 4100], gain_percent: [2, 1, 2.5] }),
    ])
    // Half-way between 50 and 100 kW.
    const [at] = claimedLevels([claimOf('kW', 1.5, 4025, 4025)], curve).levels
    expect(at).toMatchObject({ speeds_rpm: [4025], gain_percent: [2] })
  })

  test('draws a claim in newton metres by the power that they are at each speed', () => {
    // 1 N m at 30,000/π rpm (1,000 rad/s) is 1 kW, 2 % of 50 kW.
    const speed = 30_000 / Math.PI
    const curve = { ...plainCurve, engineSpeed_rpm: [speed - 50, speed, speed + 50], baseline_kW: [50, 50, 50] }
    expect(claimedLevels([claimOf('N m', 1, speed, speed)], curve).levels[0]?.gain_percent[0]).toBeCloseTo(2, 9)
  })

  test('names claims of a peak instead of drawing them, and leaves out what no speed of the curve is in', () => {
    const peak: Claim = { ...claimOf('%', 3, 0, 0), id: 'top', over: { kind: 'peak' } }
    const found = claimedLevels([peak, claimOf('kW', 1, 8000, 9000)], plainCurve)
    expect(found).toEqual({ levels: [], peaks: ['top'] })
    expect(svgOf({ ...plain, ...found })).toContain('Not in the lower picture: top.')
  })

  test('says so where there is no curve to draw', () => {
    expect(svgOf({ ...plain, curve: null })).toContain('There is no curve to draw.')
  })

  test('keeps every mark inside the picture in both layouts', () => {
    for (const layout of ['wide', 'narrow'] as const) {
      const svg = svgOf(data, { layout })
      const [, width = '0', height = '0'] = /viewBox="0 0 (\d+) (\d+)"/.exec(svg) ?? []
      for (const [, x = '0', y = '0'] of svg.matchAll(/[ML](-?[\d.]+),(-?[\d.]+)/g)) {
        expect(Number(x)).toBeGreaterThanOrEqual(0)
        expect(Number(x)).toBeLessThanOrEqual(Number(width))
        expect(Number(y)).toBeGreaterThanOrEqual(0)
        expect(Number(y)).toBeLessThanOrEqual(Number(height))
      }
    }
  })
})

describe('units of the chart', () => {
  // 75 kW at 9,549.3 rpm (1,000 rad/s) is 75 N m; 1 hp = 550 ft lbf/s = 745.699872 W, 1 lbf ft = 1.355818 N m (NIST SP 811).
  test.each([
    ['kW', 75],
    ['hp', 75_000 / 745.699872],
    ['N m', 75],
    ['lbf ft', 75 / 1.3558179483],
  ] as const)('75 kW at 1,000 rad/s in %s', (unit, expected) => {
    expect(inUnit(75, 30_000 / Math.PI, unit)).toBeCloseTo(expected, 6)
  })
})

test('the curves of the single runs average to the means of the result', () => {
  const curve = airFilter.payload.result.gains.curve
  const single = judgedCurves(demoComparison('air-filter', 1))
  expect(single?.engineSpeed_rpm).toEqual(curve?.engineSpeed_rpm)
  const modified = single?.runs.filter(({ side }) => side === 'modified') ?? []
  const mean = modified.reduce((sum, { power_kW }) => sum + (power_kW[40] ?? 0), 0) / modified.length
  // Both are rounded to 6 significant digits of about 30 kW.
  expect(mean).toBeCloseTo(curve?.modified_kW[40] ?? 0, 3)
})
