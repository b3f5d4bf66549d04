import { EngineError } from '../engine-error.ts'
import { studentT } from '../numerics/student-t.ts'
import { INFINITE_DOF } from './facility-record.ts'
import { effectiveDof, type VarianceComponent } from './interval.ts'

/** How well a facility repeats, for planning. Relative sds as fractions of the power. */
export interface PlanningFigures {
  /** Run-to-run sd of the figure and its prior degrees of freedom; 0 where none is recorded. [1] */
  readonly repeatRelSd: number
  readonly repeatDof: number
  /** Between-mounting sd and its degrees of freedom; 0 where none is recorded. [1] */
  readonly mountRelSd: number
  readonly mountDof: number
  /** Relative variance of drift and ambient together, as the design leaves it. [1] */
  readonly otherVariance: number
}

/** So many runs, in so many mountings. */
export interface PlannedDesign {
  /** Mountings per side, k; where both sides share them, mountings in all. [1], whole, 1 or more */
  readonly mountings: number
  /** Runs per mounting and side, n. [1], whole, 1 or more */
  readonly runs: number
  /** Whether every mounting holds both sides: then the mounting has no share. */
  readonly isMountingShared: boolean
}

/** What a design can show. */
export interface DesignPower extends PlannedDesign {
  /** Relative standard uncertainty of the gain. [1] */
  readonly u: number
  /** Effective degrees of freedom. [1] */
  readonly dof: number
  /** Half-width of the 95 % interval. [1] */
  readonly halfWidth: number
  /** How far the true gain must lie above a claimed "at least x" for 80 % power. [1] */
  readonly slack: number
}

/** Standard normal quantile of 80 % power, rounded as in the source. [1] */
const POWER_Z = 0.85

const UPPER = 0.975

/**
 * What a planned comparison can show.
 *
 * u² = 2 s_r²/(k n) + 2 s_m²/k + other, without s_m where the sides share the mountings; half-width t(0.975, ν) u; slack
 * (t + 0.85) u. The planned runs and mountings add 2k(n − 1) and 2k − 2 to the recorded degrees of freedom.
 *
 * @param design the plan.
 * @param figures how well the facility repeats.
 * @returns uncertainty, half-width and slack; null where a variance would have no degree of freedom. Pure.
 * @throws EngineError `ERR_OUT_OF_RANGE` when a count is not whole and 1 or more.
 *
 * Source: measurement-model §11. Tested: tests/engine/statistics.
 */
export function designPower(design: PlannedDesign, figures: PlanningFigures): DesignPower | null {
  requireCount(design.mountings, 'mountings')
  requireCount(design.runs, 'runs')
  const components = componentsOf(design, figures).filter(({ variance }) => variance > 0)
  if (components.length === 0 || components.some(({ dof }) => !(dof > 0))) return null

  const u = Math.sqrt(components.reduce((sum, { variance }) => sum + variance, 0))
  const dof = effectiveDof(components)
  const t = studentT.quantile(UPPER, dof)
  return { ...design, u, dof, halfWidth: t * u, slack: (t + POWER_Z) * u }
}

function requireCount(count: number, path: string): void {
  if (Number.isInteger(count) && count >= 1) return
  throw new EngineError('ERR_OUT_OF_RANGE', `${count} ${path} cannot be planned`, path)
}

function componentsOf(
  { mountings, runs, isMountingShared }: PlannedDesign,
  figures: PlanningFigures,
): VarianceComponent[] {
  const repeat = {
    variance: (2 * figures.repeatRelSd ** 2) / (mountings * runs),
    dof: figures.repeatDof + 2 * mountings * (runs - 1),
  }
  const mount = { variance: (2 * figures.mountRelSd ** 2) / mountings, dof: figures.mountDof + 2 * mountings - 2 }
  const other = { variance: figures.otherVariance, dof: INFINITE_DOF }
  return isMountingShared ? [repeat, other] : [repeat, mount, other]
}

/** What a comparison is to show. */
export type PlanningTarget =
  /** An interval no wider than ± this. [1] */
  | { readonly kind: 'half-width'; readonly halfWidth: number }
  /** "At least x" with 80 % power, where the true gain lies so far above x. [1] */
  | { readonly kind: 'claim'; readonly slack: number }

/** What is asked of the planning. */
export interface SampleSizeRequest {
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
export function sampleSize({ target, figures, isMountingShared }: SampleSizeRequest): readonly DesignPower[] {
  const wanted = target.kind === 'half-width' ? target.halfWidth : target.slack
  if (!(wanted > 0)) throw new EngineError('ERR_OUT_OF_RANGE', `a target of ${wanted} cannot be reached`, 'target')

  const reaches = (power: DesignPower | null): power is DesignPower =>
    power !== null && (target.kind === 'half-width' ? power.halfWidth : power.slack) <= wanted
  const designs = RUNS_LOOKED_AT.flatMap((runs) => {
    for (let mountings = 1; mountings <= MOST_MOUNTINGS; mountings++) {
      const power = designPower({ mountings, runs, isMountingShared }, figures)
      if (reaches(power)) return [power]
    }
    return []
  })
  return designs.toSorted((a, b) => a.mountings * a.runs - b.mountings * b.runs || a.mountings - b.mountings)
}
