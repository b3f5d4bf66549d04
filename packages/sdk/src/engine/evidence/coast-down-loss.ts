import type { RunChannels } from '../inputs/channels.ts'
import type { SweepSection } from '../inputs/sweep-section.ts'
import { median } from '../numerics/median.ts'
import { type FittedResistance, fittedResistance } from '../physics/coast-down.ts'
import { equivalentMass_kg } from '../physics/inertia.ts'

/** What turns: inertia at the roller axis, and the radius of the surface. */
export interface RollerBody {
  /** [kg m2], above 0 */
  readonly inertia_kg_m2: number
  /** [m], above 0 */
  readonly radius_m: number
}

/** A coast-down must take the rollers to below this share of the speed at which it begins. [1] */
const DEEP_ENOUGH = 0.7

/** Fewest samples of a coast-down. */
const FEWEST_SAMPLES = 30

/** The clutch counts as pulled when engine over roller speed has fallen below this share of its value in the sweep. [1] */
const DISENGAGED = 0.8

/**
 * Resistance of rollers, tyre and what turns with them, where the recording goes on into a coast-down with the clutch pulled.
 *
 * With the clutch closed the engine's own drag slows the rollers, which is no loss of the rig: such a fall is not used.
 *
 * @param channels the recording.
 * @param section where its sweep lies; the coast-down follows it.
 * @param body inertia and radius.
 * @returns the fitted resistance; null where no usable coast-down is recorded, or a part of it comes out below 0. Pure;
 *   never throws.
 *
 * Limits: common practice, no source. Tested: tests/engine/evidence/wheel-power.test.ts.
 */
export function coastDownResistance(
  { time_s, rollerSpeed_m_per_s, engineSpeed_rpm }: RunChannels,
  section: SweepSection,
  body: RollerBody,
): FittedResistance | null {
  if (time_s === null || rollerSpeed_m_per_s === null || engineSpeed_rpm === null) return null
  const ratioAt = (i: number) => (engineSpeed_rpm[i] ?? 0) / (rollerSpeed_m_per_s[i] ?? Number.NaN)
  const closed = median(Float64Array.from(section.samples, ratioAt))
  const coasting = trailing(section.end, time_s.length).filter((i) => ratioAt(i) < DISENGAGED * closed)
  const time = coasting.map((i) => time_s[i] ?? Number.NaN)
  const speed = coasting.map((i) => rollerSpeed_m_per_s[i] ?? Number.NaN)
  const isDeep = (speed.at(-1) ?? 0) < DEEP_ENOUGH * (speed[0] ?? 0)
  const isTimed = time.every((t, i) => i === 0 || t > (time[i - 1] ?? 0))
  if (coasting.length < FEWEST_SAMPLES || !isDeep || !isTimed) return null

  const fitted = fittedResistance({
    time_s: Float64Array.from(time),
    speed_m_per_s: Float64Array.from(speed),
    equivalentMass_kg: equivalentMass_kg(body.inertia_kg_m2, body.radius_m),
  })
  return fitted.constant_N >= 0 && fitted.quadratic_N_s2_per_m2 >= 0 ? fitted : null
}

function trailing(from: number, to: number): number[] {
  return Array.from({ length: Math.max(0, to - from) }, (_, i) => from + i)
}
