import { EngineError } from '../engine-error.ts'
import { dot, type Layout, layoutOf, type SideIndex } from './cells.ts'
import { contrastWeights } from './contrast.ts'
import { INFINITE_DOF } from './facility-record.ts'
import type { VarianceComponent } from './interval.ts'
import { ELIMINATES_MOUNTINGS, mountWeightOf, squaredProjection } from './mounting-term.ts'

/** So many runs, in so many mountings. */
export interface PlannedDesign {
  /** Mountings per side, k; where both sides share them, mountings in all. [1], whole, 1 or more */
  readonly mountings: number
  /** Runs per mounting and side, n. [1], whole, 1 or more */
  readonly runs: number
  /** Whether every mounting holds both sides: then the mounting has no share. */
  readonly isMountingShared: boolean
}

/** How well a facility repeats, for planning. Relative sds as fractions of the power. */
export interface PlanningFigures {
  /** Run-to-run sd of the figure and its prior degrees of freedom; 0 where none is recorded. [1] */
  readonly repeatRelSd: number
  readonly repeatDof: number
  /** Between-mounting sd and its degrees of freedom; 0 where none is recorded: then the mountings of the plan are the units. [1] */
  readonly mountRelSd: number
  readonly mountDof: number
  /** Drift sd per run, as the order of the plan leaves it, and its degrees of freedom. [1]; absent: 0 and infinite */
  readonly driftRelSdPerRun?: number
  readonly driftDof?: number
  /** Relative variance of what no design changes, such as the air. [1] */
  readonly otherVariance: number
}

/**
 * The variance components of a planned session, by the contrast that its assessment would use.
 *
 * The runs follow each other evenly, t = 0, 1, 2, … Sides that share a mounting take turns, the order of each pair turned
 * round (A B B A A B …); else all baseline mountings come before all modified ones. v_r = s_r² Σa²; drift
 * s_d² (Σ a t_c)²; mounting s_m² Σ(Σ_mounting a)², or, where none is recorded, (s_m² + s_r²/n) 2/k on 2k − 2 degrees of
 * freedom. The planned runs add 2k(n − 1) and the planned mountings 2k − 2 to the recorded degrees of freedom.
 *
 * @param design the plan.
 * @param figures how well the facility repeats.
 * @returns components above 0; null where one would have no degree of freedom. Pure.
 * @throws EngineError `ERR_OUT_OF_RANGE` when a count is not whole and 1 or more.
 *
 * Source: measurement-model §3.3 to §3.5 and §11. Tested: tests/engine/statistics.
 */
export function plannedComponents(
  design: PlannedDesign,
  figures: PlanningFigures,
): readonly VarianceComponent[] | null {
  requireCount(design.mountings, 'mountings')
  requireCount(design.runs, 'runs')
  const layout = layoutOf(...plannedOrder(design))
  const centredT = Float64Array.from(layout.sideOf, (_, i) => i - (layout.sideOf.length - 1) / 2)
  const isUnits = !design.isMountingShared && figures.mountDof === 0
  const weights = isUnits ? unitWeights(layout, design) : plannedContrast(layout, centredT, design, figures)
  const drift = {
    variance: (figures.driftRelSdPerRun ?? 0) ** 2 * squaredProjection(weights, centredT),
    dof: figures.driftDof ?? INFINITE_DOF,
  }
  const other = { variance: figures.otherVariance, dof: INFINITE_DOF }
  const scatter = isUnits ? unitScatter(design, figures) : recordedScatter(layout, weights, design, figures)
  const components = [...scatter, drift, other].filter(({ variance }) => variance > 0)
  return components.length === 0 || components.some(({ dof }) => !(dof > 0)) ? null : components
}

function requireCount(count: number, path: string): void {
  if (Number.isInteger(count) && count >= 1) return
  throw new EngineError('ERR_OUT_OF_RANGE', `${count} ${path} cannot be planned`, path)
}

/** Sides and mountings of the planned runs, in the order they would be made. */
function plannedOrder({ mountings, runs, isMountingShared }: PlannedDesign): [SideIndex[], string[]] {
  const each = Array.from({ length: mountings * runs }, (_, i) => i)
  const mountingOf = (i: number) => Math.floor(i / runs)
  if (isMountingShared) {
    return [
      each.flatMap((i): SideIndex[] => (i % 2 === 0 ? [0, 1] : [1, 0])),
      each.flatMap((i) => [`m${mountingOf(i)}`, `m${mountingOf(i)}`]),
    ]
  }
  return [
    [...each.map((): SideIndex => 0), ...each.map((): SideIndex => 1)],
    [...each.map((i) => `a${mountingOf(i)}`), ...each.map((i) => `b${mountingOf(i)}`)],
  ]
}

/** Mountings as units: every mounting of a side weighs the same. */
function unitWeights({ sideOf }: Layout, { mountings, runs }: PlannedDesign): Float64Array {
  return Float64Array.from(sideOf, (side) => (side === 1 ? 1 : -1) / (mountings * runs))
}

function plannedContrast(
  layout: Layout,
  centredT: Float64Array,
  { isMountingShared }: PlannedDesign,
  { repeatRelSd, mountRelSd, driftRelSdPerRun = 0 }: PlanningFigures,
): Float64Array {
  return contrastWeights(layout, centredT, new Float64Array(centredT.length), {
    mounting: isMountingShared ? ELIMINATES_MOUNTINGS : (mountRelSd / repeatRelSd) ** 2,
    drift: (driftRelSdPerRun / repeatRelSd) ** 2,
    warmUp: 0,
  })
}

function unitScatter({ mountings, runs }: PlannedDesign, figures: PlanningFigures): VarianceComponent[] {
  const meanSquare = figures.mountRelSd ** 2 + figures.repeatRelSd ** 2 / runs
  return [{ variance: (2 * meanSquare) / mountings, dof: 2 * mountings - 2 }]
}

function recordedScatter(
  layout: Layout,
  weights: Float64Array,
  { mountings, runs, isMountingShared }: PlannedDesign,
  figures: PlanningFigures,
): VarianceComponent[] {
  const repeat = {
    variance: figures.repeatRelSd ** 2 * dot(weights, weights),
    dof: figures.repeatDof + 2 * mountings * (runs - 1),
  }
  if (isMountingShared) return [repeat]
  const mount = {
    variance: figures.mountRelSd ** 2 * mountWeightOf(weights, layout),
    dof: figures.mountDof + 2 * mountings - 2,
  }
  return [repeat, mount]
}
