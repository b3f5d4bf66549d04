import type { Random } from '../random.ts'
import { correctionFactor_1 } from './air.ts'
import { gainFactor_1, type TrueGain } from './gain.ts'
import { type Machine, wheelPower_W } from './machine.ts'
import { localNoise, NOISE_GRID_RPM, type SessionNoise, sideSize } from './noise.ts'
import { extraLoss_W } from './rollers.ts'
import type { RunState } from './run-state.ts'

/** Power of one run over its whole range on a grid of 50 rpm. */
export interface RunCurve {
  /** Engine speeds. [rpm] */
  readonly speed_rpm: Float64Array
  /** Power as the rig measures it, uncorrected. [W] */
  readonly power_W: Float64Array
  /** Factor of this run's air. [1] */
  readonly factor_1: number
}

/** What all runs of a session have in common. */
export interface CurveContext {
  readonly machine: Machine
  readonly gain: TrueGain
  readonly noise: SessionNoise
  /** Stream of the session. */
  readonly random: Random
}

/** Where a starving engine begins to lose power, as a share of the range. [1] */
const STARVATION_FROM = 0.92

/**
 * The curve a run draws.
 *
 * Measured power = (machine × gain − losses) × exp(level + tilt + local noise) × (1 − heat) × (1 − starvation) / factor^(1 − residual).
 *
 * @param index number of the run in the session, for its own noise.
 */
export function curveOf(run: RunState, index: number, context: CurveContext): RunCurve {
  const { machine, gain, noise, random } = context
  const count = Math.floor((machine.to_rpm - machine.from_rpm) / NOISE_GRID_RPM) + 1
  const local = localNoise(count, noise.sizes.correlationLength_rpm, random.fork(`local ${index}`))
  const localSize = (noise.sizes.local_1 * sideSize(noise.sizes, run.slot)) / noise.sizes.repeatability_1
  const level = noise.level(run.slot, run.t, index)
  const tilt = noise.tilt(run.slot.mounting)
  const factor_1 = correctionFactor_1(run.air)
  const air_1 = factor_1 ** (noise.ambientResidual_1 - 1)
  const speed_rpm = Float64Array.from({ length: count }, (_, k) => machine.from_rpm + k * NOISE_GRID_RPM)
  const power_W = speed_rpm.map((speed, k) => {
    const share = (speed - machine.from_rpm) / (machine.to_rpm - machine.from_rpm)
    const gained_1 = run.slot.side === 'modified' ? gainFactor_1(gain, speed) : 1
    const sound_W = wheelPower_W(machine, speed) * gained_1 - extraLoss_W(machine, run, speed)
    const starved_1 = run.starvation_1 * starvationShare_1(share)
    const scatter = level + tilt * (2 * share - 1) + localSize * (local[k] ?? 0)
    return sound_W * Math.exp(scatter) * (1 - run.heatLoss_1) * (1 - starved_1) * air_1
  })
  return { speed_rpm, power_W, factor_1 }
}

/** How far starvation has come at a share of the range: 0 below 92 %, rising to 1 within 3 %. [1] */
export function starvationShare_1(share: number): number {
  return Math.min(1, Math.max(0, (share - STARVATION_FROM) / 0.03))
}
