/** Power where none was exported: from torque, from axle torque, from the rollers' own acceleration. */
import { describe, expect, test } from 'vitest'
import { columnsOf, RATIO, type Recording, ROLLERS, traceWith } from './recordings.ts'

const pull: Recording = { rate_Hz: 50, start_m_per_s: 15, rise_m_per_s2: 5, sweep: 400 }

function rollerTrace(recording: Recording) {
  const { time, rollerSpeed, engineSpeed } = columnsOf(recording)
  return traceWith({
    time: { unit: 's', values: time },
    engineSpeed: { unit: 'rpm', values: engineSpeed },
    rollerSpeed: { unit: 'm/s', values: rollerSpeed },
  })
}

/** P = I α ω = I a v / r² on the rollers, without any loss. [W] */
const acceleration_W = (v: number) => (ROLLERS.inertia_kg_m2 * pull.rise_m_per_s2 * v) / ROLLERS.radius_m ** 2

describe('from the speed of inertia rollers', () => {
  test('power is inertia times angular acceleration times angular speed', () => {
    const { power, columns } = rollerTrace(pull)
    expect(power.source).toBe('roller-speed')
    expect(power.hasCoastDownLoss).toBe(false)
    for (const k of [20, 200, 380]) {
      const v = (columns.engineSpeed_rpm[k] ?? 0) / RATIO
      expect((columns.power_W?.[k] ?? 0) / acceleration_W(v)).toBeCloseTo(1, 9)
    }
  })

  test('a coast-down with the clutch pulled adds the loss of the rig', () => {
    const [constant_N, quadratic_N_s2_per_m2] = [80, 0.25]
    const { power, columns } = rollerTrace({ ...pull, coast: 2000, constant_N, quadratic_N_s2_per_m2 })
    expect(power.hasCoastDownLoss).toBe(true)
    for (const k of [20, 200, 380]) {
      const v = (columns.engineSpeed_rpm[k] ?? 0) / RATIO
      const whole_W = acceleration_W(v) + (constant_N + quadratic_N_s2_per_m2 * v * v) * v
      expect((columns.power_W?.[k] ?? 0) / whole_W, `at ${v} m/s`).toBeCloseTo(1, 3)
    }
  })

  test('a coast-down that ends too soon is not used', () => {
    const { power } = rollerTrace({ ...pull, coast: 40, constant_N: 80, quadratic_N_s2_per_m2: 0.25 })
    expect(power).toMatchObject({ source: 'roller-speed', hasCoastDownLoss: false })
  })

  test('the noise of the speed comes with it, as the uncertainty of each sample', () => {
    const { time, rollerSpeed, engineSpeed } = columnsOf(pull)
    const noisy = rollerSpeed.map((v, k) => v + (k % 2 === 0 ? 0.01 : -0.01))
    const quiet = rollerTrace(pull).power.differentiation_W?.[200] ?? Number.NaN
    const trace = traceWith({
      time: { unit: 's', values: time },
      engineSpeed: { unit: 'rpm', values: engineSpeed },
      rollerSpeed: { unit: 'm/s', values: noisy },
    })
    expect(trace.power.differentiation_W?.[200]).toBeGreaterThan(100 * Math.max(quiet, 1e-6))
  })

  test('braked rollers, whose brake takes part of the power, tell none', () => {
    const { time, rollerSpeed, engineSpeed } = columnsOf(pull)
    const { power } = traceWith(
      {
        time: { unit: 's', values: time },
        engineSpeed: { unit: 'rpm', values: engineSpeed },
        rollerSpeed: { unit: 'm/s', values: rollerSpeed },
      },
      { facility: { id: 'f', rollers: [{ id: 'r1', kind: 'braked' }] } },
    )
    expect(power).toMatchObject({ source: 'none', power_W: null })
  })
})

describe('from torque', () => {
  const engineSpeed = { unit: 'rpm', values: [3000, 4000, 5000, 6000] } as const

  test('torque times angular speed of the engine', () => {
    const { power } = traceWith({ engineSpeed, torque: { unit: 'N m', values: [60, 70, 80, 70] } })
    expect(power.source).toBe('torque')
    // 80 N m at 5,000 rpm: 80 · 5000 π/30 = 41,887.9 W.
    expect(power.power_W?.[2]).toBeCloseTo(41_887.9, 1)
  })

  test('axle torque turns by the whole reduction slower: 1.5 · 2 · 2.5', () => {
    const { power } = traceWith({ engineSpeed, axleTorque: { unit: 'N m', values: [450, 525, 600, 525] } })
    expect(power.source).toBe('axle-torque')
    expect(power.power_W?.[2]).toBeCloseTo(41_887.9, 1)
  })

  test('an exported power is taken as it stands', () => {
    const { power } = traceWith({
      engineSpeed,
      torque: { unit: 'N m', values: [60, 70, 80, 70] },
      wheelPower: { unit: 'kW', values: [20, 30, 40, 45] },
    })
    expect(power.source).toBe('wheel-power')
    expect(power.power_W?.[2]).toBe(40_000)
  })
})
