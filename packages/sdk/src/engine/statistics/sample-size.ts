import { EngineError } from '../engine-error.ts'
import { normal } from '../numerics/normal.ts'
import { intervalOf } from './interval.ts'
import { type PlannedDesign, type PlanningFigures, plannedComponents } from './planned-session.ts'

/** What a design can show. */
export interface DesignPower extends PlannedDesign {
  /** Relative standard uncertainty of the gain. [1] */
  readonly u: number
  /** Effective degrees of freedom. [1] */
  readonly dof: number
  /** Half-width of the 95 % interval. [1] */
  readonly halfWidth: number
  /** How far the true gain must lie above a claimed "at least x" for the wanted chance of support. [1] */
  readonly slack: number
}

/** Chance of support where none is asked for. [1] */
export const USUAL_CHANCE = 0.8

/**
 * Standard normal quantile of a chance, rounded up to two decimals: 0.85 for 80 %, as the source prints it. [1]
 *
 * @throws EngineError `ERR_OUT_OF_RANGE` for a chance below one half or not below 1.
 */
function chanceQuantile(chance: number): number {
  if (!(chance >= 0.5 && chance < 1))
    throw new EngineError('ERR_OUT_OF_RANGE', `a chance of support of ${chance} cannot be planned for`, 'chance')
  return Math.ceil(100 * normal.quantile(chance)) / 100
}

/**
 * What a planned comparison can show.
 *
 * u² = 2 s_r²/(k n) + 2 s_m²/k + drift + other, without s_m where the sides share the mountings; half-width k_p u by the
 * rule its interval would have, t(0.975, ν) u by Welch-Satterthwaite; slack half-width + z u, z = 0.85 for 80 %.
 *
 * @param design the plan.
 * @param figures how well the facility repeats.
 * @param chance of support that the slack is for. [1], 0.5 to below 1
 * @returns uncertainty, half-width and slack; null where a variance would have no degree of freedom. Pure.
 * @throws EngineError `ERR_OUT_OF_RANGE` when a count is not whole and 1 or more, or the chance is out of its range.
 *
 * Source: measurement-model §11. Tested: tests/engine/statistics.
 */
export function designPower(
  design: PlannedDesign,
  figures: PlanningFigures,
  chance: number = USUAL_CHANCE,
): DesignPower | null {
  const components = plannedComponents(design, figures)
  const z = chanceQuantile(chance)
  const interval = components === null ? null : intervalOf(0, components, false)
  if (interval === null) return null
  const { u, dof, high } = interval
  return { ...design, u, dof, halfWidth: high, slack: high + z * u }
}

/** What a comparison is to show. */
export type PlanningTarget =
  /** An interval no wider than ± this. [1] */
  | { readonly kind: 'half-width'; readonly halfWidth: number }
  /** "At least x", where the true gain lies so far above x, with a chance of support of 80 % unless another is given. [1] */
  | { readonly kind: 'claim'; readonly slack: number; readonly chance?: number }

/** What is asked of the planning. */
export interface SampleSizeQuestion {
  /** What is to be shown. */
  readonly target: PlanningTarget
  /** How well the facility repeats. */
  readonly figures: PlanningFigures
  /** Whether every mounting can hold both sides. */
  readonly isMountingShared: boolean
}

/** Runs per mounting that are looked at; more buy little, since the mounting stays. */
const RUNS_LOOKED_AT = [1, 2, 3, 4, 5, 6] as const

/** Most mountings per side that are looked at. */
const MOST_MOUNTINGS = 60

/** Chance of support that a target asks for; an interval asks for none. [1] */
export function chanceOf(target: PlanningTarget): number {
  return target.kind === 'claim' ? (target.chance ?? USUAL_CHANCE) : USUAL_CHANCE
}

/** Whether a design reaches a target. */
export function reaches({ halfWidth, slack }: DesignPower, target: PlanningTarget): boolean {
  return target.kind === 'half-width' ? halfWidth <= target.halfWidth : slack <= target.slack
}

/**
 * The fewest mountings that reach a target, for each number of runs per mounting.
 *
 * The smallest k with k ≥ 2 (s_m² + s_r²/n) (t/H)², t on the degrees of freedom of that k; likewise for the slack of a claim.
 *
 * @param request target, facility and whether mountings are shared.
 * @returns one design per number of runs, 1 to 6, that reaches it with at most 60 mountings, the fewest runs in all first; empty
 * where none does. Pure.
 * @throws EngineError `ERR_OUT_OF_RANGE` when the target is not above 0.
 *
 * Source: measurement-model §11. Tested: tests/engine/statistics.
 */
export function sampleSize({ target, figures, isMountingShared }: SampleSizeQuestion): readonly DesignPower[] {
  const wanted = target.kind === 'half-width' ? target.halfWidth : target.slack
  if (!(wanted > 0)) throw new EngineError('ERR_OUT_OF_RANGE', `a target of ${wanted} cannot be reached`, 'target')

  const designs = RUNS_LOOKED_AT.flatMap((runs) => {
    for (let mountings = 1; mountings <= MOST_MOUNTINGS; mountings++) {
      const power = designPower({ mountings, runs, isMountingShared }, figures, chanceOf(target))
      if (power !== null && reaches(power, target)) return [power]
    }
    return []
  })
  return designs.toSorted((a, b) => a.mountings * a.runs - b.mountings * b.runs || a.mountings - b.mountings)
}
