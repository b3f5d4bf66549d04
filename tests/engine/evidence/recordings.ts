/** A run recorded over time on inertia rollers, from the equations of motion. */
import type { Comparison, Run } from '../../../packages/sdk/src/contract/index.ts'
import { traceOf } from '../../../packages/sdk/src/engine/evidence/trace.ts'
import { readSession } from '../../../packages/sdk/src/engine/inputs/session.ts'

/** Rollers: inertia at their axis and radius of the surface. */
export const ROLLERS = { inertia_kg_m2: 15, radius_m: 0.25 } as const

/** Engine speed over roller surface speed while the clutch is closed. [rpm per m/s] */
export const RATIO = 200

/** What one run is made of. */
export interface Recording {
  /** Samples a second. [Hz] */
  readonly rate_Hz: number
  /** Surface speed at the start, and how fast it rises. [m/s], [m/s²] */
  readonly start_m_per_s: number
  readonly rise_m_per_s2: number
  /** Samples of the sweep, and of the coast-down after it with the clutch pulled. */
  readonly sweep: number
  readonly coast?: number
  /** Resistance during the coast-down: constant, and with the square of the speed. [N], [N s²/m²] */
  readonly constant_N?: number
  readonly quadratic_N_s2_per_m2?: number
  /** Samples by which the roller speed is written too late. */
  readonly lag?: number
}

const mass_kg = ROLLERS.inertia_kg_m2 / ROLLERS.radius_m ** 2

/** Time, roller speed and engine speed of a recording. */
export function columnsOf({ constant_N = 0, quadratic_N_s2_per_m2 = 0, coast = 0, lag = 0, ...recording }: Recording) {
  const { rate_Hz, start_m_per_s, rise_m_per_s2, sweep } = recording
  const time = Array.from({ length: sweep + coast }, (_, k) => k / rate_Hz)
  const speed = time.slice(0, sweep).map((t) => start_m_per_s + rise_m_per_s2 * t)
  for (let k = 0; k < coast; k += 1) speed.push(fallen(speed.at(-1) ?? 0))
  const engine = speed.map((v, k) => (k < sweep ? RATIO * v : 1500))
  const late = speed.map((_, k) => speed[Math.max(0, k - lag)] ?? 0)
  return { time, rollerSpeed: late, engineSpeed: engine }

  /** One sampling interval later, in a hundred steps. */
  function fallen(from: number): number {
    let v = from
    for (let step = 0; step < 100; step += 1) {
      v -= ((constant_N + quadratic_N_s2_per_m2 * v * v) / mass_kg) * (1 / (100 * rate_Hz))
    }
    return v
  }
}

/** The trace of one run with these channels. */
export function traceWith(channels: Run['channels'], changes: Partial<Comparison> = {}) {
  const run: Run = {
    id: 'a1',
    side: 'baseline',
    purpose: 'measured',
    setup: { rollers: 'r1', vehicle: 'v1', gear: 2 },
    ...(channels === undefined ? {} : { channels }),
  }
  const comparison: Comparison = {
    protocol: 'motorcycle-rollers@1',
    facility: {
      id: 'f',
      rollers: [
        {
          id: 'r1',
          kind: 'inertia',
          inertia: { value: ROLLERS.inertia_kg_m2, unit: 'kg m2' },
          rollerRadius: { value: ROLLERS.radius_m, unit: 'm' },
        },
      ],
    },
    vehicles: [{ id: 'v1', gearing: { primary: 1.5, gears: [3, 2], final: 2.5 } }],
    runs: [run],
    ...changes,
  }
  const session = readSession(comparison)
  const [only] = session.runs
  const trace = only === undefined ? null : traceOf(only, session)
  if (trace === null) throw new Error('the run has no trace')
  return trace
}
