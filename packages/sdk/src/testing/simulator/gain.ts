import type { Claim } from '../../contract/index.ts'
import { EngineError } from '../../engine/engine-error.ts'
import { type Machine, wheelPower_W } from './machine.ts'

/** What the modification does to the power, over engine speed. */
export type TrueGain =
  /** The same share everywhere. */
  | { readonly shape: 'uniform'; readonly percent: number }
  /** One share below an engine speed and another above; a logistic of width `width_rpm` between them. */
  | {
      readonly shape: 'step'
      readonly below_percent: number
      readonly above_percent: number
      readonly at_rpm: number
      readonly width_rpm: number
    }
  /** A Gaussian hump on a floor. */
  | {
      readonly shape: 'hump'
      readonly floor_percent: number
      readonly height_percent: number
      readonly at_rpm: number
      readonly width_rpm: number
    }

/** Numbers of each shape. */
const MEMBERS: Readonly<Record<TrueGain['shape'], readonly string[]>> = {
  uniform: ['percent'],
  step: ['below_percent', 'above_percent', 'at_rpm', 'width_rpm'],
  hump: ['floor_percent', 'height_percent', 'at_rpm', 'width_rpm'],
}

/**
 * Refuses a gain that has no value at every speed: without one the simulated sweep would never end.
 *
 * @throws EngineError `ERR_OUT_OF_RANGE` for a shape that is none, and for a number of it that is missing or not finite.
 */
export function requireGain(gain: TrueGain): void {
  const { shape } = gain
  if (!Object.hasOwn(MEMBERS, shape)) {
    const known = Object.keys(MEMBERS).join(', ')
    throw new EngineError(
      'ERR_OUT_OF_RANGE',
      `${JSON.stringify(shape)} is no shape of a gain; use ${known}`,
      'gain.shape',
    )
  }
  const numbers = new Map(Object.entries(gain))
  const missing = MEMBERS[shape].find((name) => !Number.isFinite(numbers.get(name)))
  if (missing !== undefined) {
    const found = String(numbers.get(missing))
    throw new EngineError(
      'ERR_OUT_OF_RANGE',
      `a gain of shape ${shape} needs a finite ${missing}, not ${found}`,
      `gain.${missing}`,
    )
  }
}

/** Modified over baseline power at an engine speed. [1] */
export function gainFactor_1(gain: TrueGain, speed_rpm: number): number {
  return 1 + gainPercent(gain, speed_rpm) / 100
}

function gainPercent(gain: TrueGain, speed_rpm: number): number {
  if (gain.shape === 'uniform') return gain.percent
  const u = (speed_rpm - gain.at_rpm) / gain.width_rpm
  if (gain.shape === 'hump') return gain.floor_percent + gain.height_percent * Math.exp(-(u * u) / 2)
  return gain.below_percent + (gain.above_percent - gain.below_percent) / (1 + Math.exp(-u))
}

const W_PER: Readonly<Record<string, number>> = { W: 1, kW: 1000, hp: 745.699_871_582_27, PS: 735.498_75 }
const NM_PER: Readonly<Record<string, number>> = { 'N m': 1, 'lbf ft': 1.355_817_948_331_4, 'kgf m': 9.806_65 }
const RPM_PER: Readonly<Record<string, number>> = { rpm: 1, 'rad/s': 30 / Math.PI }

/** Spacing of the grid on which means and extremes of the truth are taken. [rpm] */
const GRID_RPM = 50

/**
 * The true value of what a claim speaks of, in the unit of the claim: reference gear and air, warm, no noise.
 *
 * Band mean: mean over multiples of 50 rpm. Peak: highest of each side. Everywhere, no loss: smallest gain; anywhere: largest.
 */
export function trueValueOf(claim: Claim, machine: Machine, gain: TrueGain): number {
  const level = (speed_rpm: number, isModified: boolean) => {
    const power_W = wheelPower_W(machine, speed_rpm) * (isModified ? gainFactor_1(gain, speed_rpm) : 1)
    return claim.quantity === 'wheel-power' ? power_W : power_W / ((speed_rpm * Math.PI) / 30)
  }
  const per = (claim.quantity === 'wheel-power' ? W_PER : NM_PER)[claim.gain.unit] ?? Number.NaN
  const difference = (baseline: number, modified: number) =>
    claim.gain.unit === '%' ? 100 * (modified / baseline - 1) : (modified - baseline) / per
  const speeds = speedsOf(claim, machine)
  const baseline = speeds.map((speed) => level(speed, false))
  const modified = speeds.map((speed) => level(speed, true))
  const each = speeds.map((_, k) => difference(baseline[k] ?? Number.NaN, modified[k] ?? Number.NaN))
  switch (claim.over.kind) {
    case 'peak':
      return difference(Math.max(...baseline), Math.max(...modified))
    case 'at-speed':
    case 'band-mean':
      return difference(mean(baseline), mean(modified))
    case 'everywhere':
    case 'no-loss':
      return Math.min(...each)
    case 'anywhere':
      return Math.max(...each)
  }
}

function speedsOf({ over }: Claim, machine: Machine): number[] {
  if (over.kind === 'peak') return grid_rpm(machine.from_rpm, machine.to_rpm)
  if (over.kind === 'at-speed') return [over.speed.value * (RPM_PER[over.speed.unit] ?? Number.NaN)]
  return grid_rpm(
    over.from.value * (RPM_PER[over.from.unit] ?? Number.NaN),
    over.to.value * (RPM_PER[over.to.unit] ?? Number.NaN),
  )
}

/** Multiples of 50 rpm from one speed to another, ends included. */
export function grid_rpm(from_rpm: number, to_rpm: number): number[] {
  const first = Math.ceil(from_rpm / GRID_RPM)
  const last = Math.floor(to_rpm / GRID_RPM)
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, k) => (first + k) * GRID_RPM)
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}
