import { readFileSync } from 'node:fs'
import { describe } from 'vitest'
import { dot } from '../../packages/sdk/src/engine/statistics/cells.ts'
import { checkDrift } from '../../packages/sdk/src/engine/statistics/drift-check.ts'
import { expectPublished, type PublishedCheck, printedWithin, testPublished } from '../support/published.ts'
import { oneWayOf, sampleOf } from '../support/samples.ts'

interface Table {
  readonly rows: readonly (readonly [number, number])[]
}
interface List {
  readonly values: readonly number[]
}

const data = JSON.parse(readFileSync(new URL('data/nist-strd.json', import.meta.url), 'utf8')) as Record<
  'norris' | 'atmwtag' | 'sirstv',
  Table
> &
  Record<'michelso' | 'mavro' | 'lew' | 'lottery' | 'numacc1', List>

/** NumAcc2 to NumAcc4: one middle value, then a low and a high one, 500 times each in turn. */
const alternating = (middle: number, low: number, high: number) => [
  middle,
  ...Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? low : high)),
]

function autocorrelation(values: readonly number[], mean: number): number {
  const centred = Float64Array.from(values, (value) => value - mean)
  return dot(centred.subarray(0, -1), centred.subarray(1)) / dot(centred, centred)
}

describe('NIST StRD, univariate: mean, standard deviation, lag-1 autocorrelation', () => {
  function expectUnivariate(check: PublishedCheck, values: readonly number[], spread: number) {
    const { mean, variance } = sampleOf(values)
    expectPublished(check, mean, { member: 'mean', tolerance: printedWithin(1e-13, 'the sum of up to 1,001 doubles') })
    const leading = printedWithin(spread, 'digits that the leading ones of the data leave to a double')
    expectPublished(check, Math.sqrt(variance), { member: 'sd', tolerance: leading })
    expectPublished(check, autocorrelation(values, mean), { member: 'r1', tolerance: leading })
  }

  testPublished('strd-michelso', (check) => expectUnivariate(check, data.michelso.values, 1e-11))
  testPublished('strd-mavro', (check) => expectUnivariate(check, data.mavro.values, 1e-11))
  testPublished('strd-lew', (check) => expectUnivariate(check, data.lew.values, 1e-13))
  testPublished('strd-numacc2', (check) => expectUnivariate(check, alternating(1.2, 1.1, 1.3), 1e-12))
  testPublished('strd-numacc3', (check) => expectUnivariate(check, alternating(1000000.2, 1000000.1, 1000000.3), 1e-8))
  testPublished('strd-numacc4', (check) =>
    expectUnivariate(check, alternating(10000000.2, 10000000.1, 10000000.3), 1e-7),
  )
})

describe('NIST StRD, analysis of variance', () => {
  function expectOneWay(check: PublishedCheck, { rows }: Table, digits: number) {
    const found = oneWayOf(
      rows.map(([, value]) => value),
      rows.map(([group]) => String(group)),
    )
    const tolerance = printedWithin(digits, 'digits that the leading ones of the data leave to a double')
    const [between, within] = [found.groups - 1, found.count - found.groups]
    const { betweenSquares, withinSquares } = found
    expectPublished(check, betweenSquares, { member: 'SSB', tolerance })
    expectPublished(check, withinSquares, { member: 'SSW', tolerance })
    expectPublished(check, betweenSquares / between / (withinSquares / within), { member: 'F', tolerance })
    expectPublished(check, betweenSquares / (betweenSquares + withinSquares), { member: 'R2', tolerance })
    expectPublished(check, Math.sqrt(withinSquares / within), { member: 's', tolerance })
  }

  testPublished('strd-sirstv', (check) => expectOneWay(check, data.sirstv, 1e-9))
  testPublished('strd-atmwtag', (check) => expectOneWay(check, data.atmwtag, 1e-6))
})

describe('NIST StRD, straight line', () => {
  // The line by the slope test of the drift check, all points in one cell and nothing known beforehand.
  testPublished('strd-norris', (check) => {
    const n = data.norris.rows.length
    const [y, x] = [0, 1].map((column) => data.norris.rows.map((row) => row[column] ?? Number.NaN))
    const [ofY, ofX] = [sampleOf(y ?? []), sampleOf(x ?? [])]
    const total = ofY.variance * (n - 1)
    const fit = checkDrift({
      centred: Float64Array.from(y ?? [], (value) => value - ofY.mean),
      centredT: Float64Array.from(x ?? [], (value) => value - ofX.mean),
      sumOfSquares: total,
      dofWithin: n - 1,
      priorSd: 0,
      priorDof: 0,
      rounding: 0,
    })
    const z = fit.z ?? Number.NaN
    const s = Math.sqrt(fit.residualSumOfSquares / (n - 2))
    const tolerance = printedWithin(1e-9, 'as the source asks')
    expectPublished(check, fit.slope, { member: 'B1', tolerance })
    expectPublished(check, fit.slope / z, { member: 'sB1', tolerance })
    expectPublished(check, ofY.mean - fit.slope * ofX.mean, { member: 'B0', tolerance })
    expectPublished(check, Math.hypot(s / Math.sqrt(n), (fit.slope / z) * ofX.mean), { member: 'sB0', tolerance })
    expectPublished(check, s, { member: 's', tolerance })
    expectPublished(check, 1 - fit.residualSumOfSquares / total, { member: 'R2', tolerance })
    expectPublished(check, z ** 2, { member: 'F', tolerance })
  })
})
