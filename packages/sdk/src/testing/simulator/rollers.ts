import { type Machine, reduction_1 } from './machine.ts'
import type { RunState } from './run-state.ts'

/** What half the reference pressure does: rolling radius -1.1 %, 1.0 hp more lost at 50 m/s. Assumed, no source. */
const HALF_PRESSURE = { radius_1: -0.011, force_N: 745.7 / 50 }

/** What 1 kN more of strap tension does: rolling radius -0.7 %, 1.1 hp more lost at 50 m/s. Assumed, no source. */
const PER_KILONEWTON = { radius_1: -0.007, force_N: (1.1 * 745.7) / 50 }

/** Straps that pull the machine down. */
const STRAPS = 2

/** How a run's speed ratio scatters. */
export interface RatioNoise {
  /** Of the logarithm of the ratio without traction. [1] */
  readonly intercept: number
  /** Of the slip slope. [1] */
  readonly slope: number
}

/** Loaded rolling radius of the drive tyre in a run. [m] */
function rollingRadius_m(machine: Machine, run: RunState): number {
  const { halves, kilonewtons } = departures(machine, run)
  return machine.rollingRadius_m * (1 + HALF_PRESSURE.radius_1 * halves) * (1 + PER_KILONEWTON.radius_1 * kilonewtons)
}

/** How far pressure and straps are from the reference, in the units of the two constants above. */
function departures(machine: Machine, run: RunState): { halves: number; kilonewtons: number } {
  return {
    halves: 2 * (1 - run.tyrePressure_Pa.actual / machine.tyrePressure_Pa),
    kilonewtons: (STRAPS * (run.strapTension_N.actual - machine.strapTension_N)) / 1000,
  }
}

/** Speed of the tyre surface at an engine speed, before slip. [m/s] */
export function tyreSpeed_m_per_s(machine: Machine, run: RunState, speed_rpm: number): number {
  return ((speed_rpm * Math.PI) / 30 / reduction_1(machine, run.gear.actual)) * rollingRadius_m(machine, run)
}

/**
 * Power that reaches the rollers less than in the reference state, by gear, tyre pressure and strap load. [W]
 *
 * Loss = rolling force × surface speed, each in this run against the reference.
 */
export function extraLoss_W(machine: Machine, run: RunState, speed_rpm: number): number {
  const { halves, kilonewtons } = departures(machine, run)
  const force_N = machine.rollingForce_N + HALF_PRESSURE.force_N * halves + PER_KILONEWTON.force_N * kilonewtons
  const reference_m_per_s =
    ((speed_rpm * Math.PI) / 30 / reduction_1(machine, machine.referenceGear)) * machine.rollingRadius_m
  return force_N * tyreSpeed_m_per_s(machine, run, speed_rpm) - machine.rollingForce_N * reference_m_per_s
}

/**
 * Surface speed of the rollers: the tyre's, less slip that grows with the tractive force. [m/s]
 *
 * ln(engine speed / roller speed) = ln(ratio without traction) + slope × force / load.
 */
export function rollerSpeed_m_per_s(
  machine: Machine,
  run: RunState,
  at: { readonly speed_rpm: number; readonly power_W: number; readonly noise: RatioNoise },
): number {
  const tyre_m_per_s = tyreSpeed_m_per_s(machine, run, at.speed_rpm)
  const traction_1 = at.power_W / (machine.wheelLoad_N * tyre_m_per_s)
  return tyre_m_per_s / Math.exp(at.noise.intercept + (machine.slipSlope_1 + at.noise.slope) * traction_1)
}

/**
 * Time at which each engine speed of a sweep is reached: the energy of the rollers over the power that drives them. [s]
 *
 * J v dv / r^2 = P dt, trapezoidal.
 */
export function sweepTimes_s(
  machine: Machine,
  rollerSpeeds_m_per_s: ArrayLike<number>,
  power_W: ArrayLike<number>,
): Float64Array {
  const mass_kg = machine.rollerInertia_kg_m2 / machine.rollerRadius_m ** 2
  const times = new Float64Array(power_W.length)
  for (let k = 1; k < times.length; k += 1) {
    const before = rollerSpeeds_m_per_s[k - 1] ?? Number.NaN
    const now = rollerSpeeds_m_per_s[k] ?? Number.NaN
    const energy_J = (mass_kg * (now * now - before * before)) / 2
    times[k] = (times[k - 1] ?? 0) + (2 * energy_J) / ((power_W[k - 1] ?? Number.NaN) + (power_W[k] ?? Number.NaN))
  }
  return times
}
