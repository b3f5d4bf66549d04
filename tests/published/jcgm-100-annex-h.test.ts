import { describe, expect } from 'vitest'
import { fisherF } from '../../packages/sdk/src/engine/numerics/fisher-f.ts'
import { studentT } from '../../packages/sdk/src/engine/numerics/student-t.ts'
import { dot } from '../../packages/sdk/src/engine/statistics/cells.ts'
import { checkDrift } from '../../packages/sdk/src/engine/statistics/drift-check.ts'
import {
  effectiveDof,
  totalVariance,
  type VarianceComponent,
} from '../../packages/sdk/src/engine/statistics/interval.ts'
import {
  expectPublished,
  inputOf,
  listOf,
  type PublishedCheck,
  printed,
  published,
  testPublished,
} from '../support/published.ts'
import { sampleOf } from '../support/samples.ts'

const component = (u: number, dof: number): VarianceComponent => ({ variance: u ** 2, dof })

describe('JCGM 100:2008, annex H.1 (end gauge)', () => {
  // H.1.3: the difference of the gauges, from its repeats, the random and the systematic effects of the comparator.
  const difference = [component(5.8, 24), component(3.9, 5), component(6.7, 8)]

  /** H.1.6: standard, difference, expansion coefficients, temperatures, for a standard of that length in nm. */
  const lengthOf = (standard_nm: number) => [
    component(25, 18),
    component(Math.sqrt(totalVariance(difference)), effectiveDof(difference)),
    component((standard_nm * 0.1 * 1e-6) / Math.sqrt(3), 50), // coefficients differ by up to 1e-6/°C, 0.1 °C away
    component((standard_nm * 11.5e-6 * 0.05) / Math.sqrt(3), 2), // temperatures differ by up to 0.05 °C
  ]

  testPublished('gum-h1-comps', (check) => {
    expectPublished(check, Math.sqrt(totalVariance(difference)), { member: 'd' })
  })

  testPublished('gum-h1-uc', (check) => {
    const components = listOf(check, 'u').map((u) => component(u, 1))
    expectPublished(check, Math.sqrt(totalVariance(components)))
  })

  testPublished('gum-h1-nud', (check) => expectPublished(check, effectiveDof(difference)))

  testPublished('gum-h1-nueff', (check) => expectPublished(check, effectiveDof(lengthOf(inputOf(check, 'l_s')))))

  testPublished('gum-h1-U99', (check) => {
    // As the Guide does: degrees of freedom rounded down to 16, uncertainty rounded to 32 nm.
    expectPublished(check, studentT.quantile(0.995, Math.floor(effectiveDof(lengthOf(50_000_623)))) * 32)
  })
})

describe('JCGM 100:2008, annex H.2 (resistance and reactance)', () => {
  const { inputs } = published('gum-h2-full')
  const [V, I, phi] = [inputs.V_V, inputs.I_mA, inputs.phi_rad].map((list) => sampleOf(list as number[]))
  const readings = [inputs.V_V, inputs.I_mA, inputs.phi_rad] as number[][]

  /** Covariance of two means, from their paired readings. */
  function covarianceOfMeans(a: number, b: number): number {
    const centred = [a, b].map((k) => {
      const list = readings[k] ?? []
      const { mean } = sampleOf(list)
      return Float64Array.from(list, (value) => value - mean)
    })
    const [x = new Float64Array(), y = new Float64Array()] = centred
    return dot(x, y) / (x.length * (x.length - 1))
  }

  /** Law of propagation (GUM 5.2.2): u(p, q) = Σ Σ ∂p/∂x_i ∂q/∂x_j u(x_i, x_j). */
  function propagated(p: readonly number[], q: readonly number[]): number {
    return p.reduce((sum, pi, i) => sum + q.reduce((inner, qj, j) => inner + pi * qj * covarianceOfMeans(i, j), 0), 0)
  }

  function impedance() {
    const [v, i, f] = [V?.mean ?? Number.NaN, (I?.mean ?? Number.NaN) / 1000, phi?.mean ?? Number.NaN]
    const [R, X, Z] = [(v / i) * Math.cos(f), (v / i) * Math.sin(f), v / i]
    // Currents are in mA: ∂/∂I carries the factor 1e-3.
    const dR = [R / v, -R / i / 1000, -X]
    const dX = [X / v, -X / i / 1000, R]
    const dZ = [Z / v, -Z / i / 1000, 0]
    const [uR, uX, uZ] = [dR, dX, dZ].map((d) => Math.sqrt(propagated(d, d))) as [number, number, number]
    const rRX = propagated(dR, dX) / (uR * uX)
    const rRZ = propagated(dR, dZ) / (uR * uZ)
    const rXZ = propagated(dX, dZ) / (uX * uZ)
    return { R, uR, X, uX, Z, uZ, rRX, rRZ, rXZ }
  }

  function expectImpedance(check: PublishedCheck, tolerance?: { value: number; u: number; r: number }) {
    for (const [member, value] of Object.entries(impedance())) {
      const kind = member.startsWith('r') ? 'r' : member.startsWith('u') ? 'u' : 'value'
      expectPublished(
        check,
        value,
        tolerance === undefined ? { member } : { member, tolerance: printed(tolerance[kind]) },
      )
    }
  }

  testPublished('gum-h2-printed', (check) => {
    // 0.29558 is printed as 0.295: the Guide cut it, so a whole unit of the last digit is allowed to the uncertainties.
    expectImpedance(check, { value: 0.0005, u: 0.001, r: 0.0005 })
  })

  testPublished('gum-h2-full', (check) => expectImpedance(check))
})

describe('JCGM 100:2008, annex H.3 (calibration of a thermometer)', () => {
  /** The straight line by the slope test of the drift check, all readings in one cell and nothing known beforehand. */
  function line(check: PublishedCheck) {
    const temperatures = listOf(check, 't')
    const corrections = listOf(check, 'b')
    const n = temperatures.length
    const [t, b] = [sampleOf(temperatures), sampleOf(corrections)]
    const fit = checkDrift({
      centred: Float64Array.from(corrections, (value) => value - b.mean),
      centredT: Float64Array.from(temperatures, (value) => value - t.mean),
      sumOfSquares: b.variance * (n - 1),
      dofWithin: n - 1,
      priorSd: 0,
      priorDof: 0,
      rounding: 0,
    })
    const s = Math.sqrt(fit.residualSumOfSquares / (n - 2))
    const u_y2 = Math.abs(fit.slope) / (fit.z ?? Number.NaN)
    const at = (temperature: number) => b.mean + fit.slope * (temperature - t.mean)
    const uAt = (temperature: number) => Math.hypot(s / Math.sqrt(n), u_y2 * (temperature - t.mean))
    const r = (-u_y2 * (t.mean - 20)) / uAt(20)
    return { y1: at(20), u_y1: uAt(20), y2: fit.slope, u_y2, r, s, b30: at(30), u_b30: uAt(30), dof: n - 2 }
  }

  testPublished('gum-h3-raw', (check) => {
    const fit = line(check)
    const lastDigits = { y1: 5e-5, u_y1: 5e-5, y2: 5e-6, u_y2: 5e-6, r: 5e-4, s: 5e-5, b30: 5e-5, u_b30: 5e-5 } as const
    for (const member of Object.keys(lastDigits) as (keyof typeof lastDigits)[]) {
      expectPublished(check, fit[member], { member, tolerance: printed(lastDigits[member]) })
    }
  })

  testPublished('gum-h3-full', (check) => {
    const fit = line(published('gum-h3-raw'))
    for (const [member, value] of Object.entries(fit)) expectPublished(check, value, { member })
  })
})

describe('JCGM 100:2008, annex H.5 (voltage standard on ten days)', () => {
  const raw = published('gum-h5-raw')
  const days = listOf(raw, 'means')
  const perDay = 5

  function analysis() {
    const { mean, variance } = sampleOf(days)
    const within = totalVariance(listOf(raw, 's_uV').map((s) => component(s, perDay - 1))) / days.length
    const between = variance * 1e12
    const F = (perDay * between) / within
    return { mean, sb_uV: Math.sqrt(between), sw_uV: Math.sqrt(within), F }
  }

  testPublished('gum-h5-raw', (check) => {
    const { mean, sb_uV, sw_uV, F } = analysis()
    expectPublished(check, mean, { member: 'mean', tolerance: printed(5e-7) })
    expectPublished(check, sb_uV, { member: 's_means_uV', tolerance: printed(0.5) })
    expectPublished(check, sw_uV, { member: 's_pooled_uV', tolerance: printed(0.5) })
    expectPublished(check, F, { member: 'F', tolerance: printed(0.02) }) // the Guide divides rounded figures
  })

  testPublished('gum-h5-full', (check) => {
    const found = analysis()
    for (const member of ['mean', 'sb_uV', 'sw_uV', 'F'] as const) {
      // Differences of 10 V readings lose seven of sixteen digits.
      expectPublished(check, found[member], { member, tolerance: printed(1e-6) })
    }
    expectPublished(check, fisherF.sf(found.F, 9, 40), { member: 'p', tolerance: printed(1e-9) })
    expectPublished(check, fisherF.quantile(0.95, 9, 40), { member: 'F95_9_40' })
    expectPublished(check, fisherF.quantile(0.975, 9, 40), { member: 'F975_9_40' })
    expect(found.F).toBeGreaterThan(fisherF.quantile(0.95, 9, 40))
  })
})
