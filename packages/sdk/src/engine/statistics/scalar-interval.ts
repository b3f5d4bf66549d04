import { EngineError } from '../engine-error.ts'
import { dot, type SideIndex, sumOfSquaredGroupSums } from './cells.ts'
import { contrastWeights } from './contrast.ts'
import { type FacilityFigures, INFINITE_DOF, NOTHING_DECLARED, recordFaults, WHERE_SILENT } from './facility-record.ts'
import { type FitContext, fitContext } from './fit-context.ts'
import type { FitFlag, NamedComponent } from './fit-terms.ts'
import { intervalOf } from './interval.ts'
import {
  ELIMINATES_MOUNTINGS,
  type MountingTerm,
  mountingTerm,
  mountWeightOf,
  squaredProjection,
} from './mounting-term.ts'
import type { AsMounted, BudgetedInterval, FitScope, ScalarFit, ScalarOutcome } from './scalar-fit.ts'
import type { ScalarInput } from './scalar-input.ts'

/** Size of a warm-up trend that nothing rules out, as a share of the power. [1] Source: measurement-model §3.4. */
const WARM_UP = 0.01

/**
 * The gain of one figure with its 95 % interval: one linear contrast with a variance budget.
 *
 * @param input figures and what is known of the runs; all lists of one length, in run order.
 * @returns the fit, or the reason why there is none: weak evidence is data.
 * @throws EngineError `ERR_LENGTH` when the lists differ in length.
 *
 * Source: measurement-model §3 and, where relative, §4. Tested: tests/vectors, scalar.
 */
export function scalarInterval(input: ScalarInput): ScalarOutcome {
  requireEqualLengths(input)
  const record = input.record ?? NOTHING_DECLARED
  const faults = recordFaults(record)
  if (faults.length > 0) return { ok: false, reason: 'record-invalid', groups: faults }
  if (!input.sides.includes(0) || !input.sides.includes(1)) return { ok: false, reason: 'side-empty', groups: [] }
  if (input.isRelative && input.values.some((value) => !(value > 0)))
    return { ok: false, reason: 'not-positive', groups: [] }

  const y = input.isRelative ? input.values.map(Math.log) : input.values
  const level = input.isRelative ? 1 : Math.abs((sideMean(y, input.sides, 0) + sideMean(y, input.sides, 1)) / 2)
  if (!(level > 0)) return { ok: false, reason: 'level-zero', groups: [] }
  return { ok: true, fit: fitOf(fitContext(input, record, y, level)) }
}

function requireEqualLengths({ values, sides, mountings, t, factors, days }: ScalarInput): void {
  const lengths = [sides.length, mountings.length, t.length, factors.length, days?.length ?? values.length]
  if (lengths.every((length) => length === values.length)) return
  throw new EngineError('ERR_LENGTH', `run lists of ${values.length} and ${lengths.join(', ')} entries`, 'values')
}

function sideMean(y: Float64Array, sides: readonly SideIndex[], side: SideIndex): number {
  const own = y.filter((_, i) => sides[i] === side)
  return own.reduce((sum, value) => sum + value, 0) / own.length
}

function fitOf(context: FitContext): ScalarFit {
  const contrast = contrastOf(context)
  const mount = mountingTerm(context, contrast)
  const day = dayTerm(context, mount.weights)
  const isUnits = mount.mode === 'session_mounting_means'
  const hasInterval = isUnits ? mount.component !== null : context.repeatability.variance !== null
  const scope: FitScope = !hasInterval
    ? 'none'
    : mount.mode === 'unknown' || day.isUnknown
      ? 'as_mounted_only'
      : 'reproducible'
  const mountComponents = mount.component === null ? [] : [mount.component]
  const components = isUnits
    ? [...mountComponents, ...sharedTerms(context, mount.weights), ...day.components]
    : [
        ...repeatTerm(context, mount.weights),
        ...sharedTerms(context, mount.weights),
        ...day.components,
        ...mountComponents,
      ]
  const estimate = dot(mount.weights, context.y)
  return {
    level: context.level,
    priorSd: context.priorSd,
    estimate,
    weights: mount.weights,
    repeatWeight: dot(mount.weights, mount.weights),
    mountWeight: mountWeightOf(mount.weights, context.layout),
    driftWeight: squaredProjection(mount.weights, context.centredT),
    drift: context.drift,
    isBracketed: context.isBracketed,
    dofWithin: context.dofWithin,
    withinSd: context.withinSd,
    repeatability: context.repeatability,
    mountSd: scope === 'none' ? null : mount.sd,
    mountDof: scope === 'none' ? null : mount.dof,
    mountMode: scope === 'none' ? null : mount.mode,
    components: scope === 'none' ? [] : components,
    interval: scope === 'reproducible' ? budgetedInterval(context, estimate, components) : null,
    asMounted: asMountedOf(context, contrast),
    scope,
    flags: flagsOf(context, mount, day, scope),
  }
}

function contrastOf({
  layout,
  centredT,
  warmUp,
  record,
  level,
  priorSd,
  driftSd,
  input,
  isBracketed,
}: FitContext): Float64Array {
  const variance = priorSd * priorSd
  const everyHoldsBoth = layout.holds.every(([baseline, modified]) => baseline && modified)
  const undeclared = everyHoldsBoth ? ELIMINATES_MOUNTINGS : 1
  return contrastWeights(layout, centredT, warmUp, {
    mounting: record.mountRelSd === null ? undeclared : (level * record.mountRelSd) ** 2 / variance,
    drift: (driftSd * driftSd) / variance,
    warmUp: input.hasWarmUpTerm && !isBracketed ? (WARM_UP * level) ** 2 / variance : 0,
  })
}

function repeatTerm({ repeatability }: FitContext, weights: Float64Array): NamedComponent[] {
  if (repeatability.variance === null) return []
  return [{ term: 'repeat', variance: repeatability.variance * dot(weights, weights), dof: repeatability.dof }]
}

/** Drift, warm-up and ambient, in this order: what every interval carries. */
function sharedTerms(context: FitContext, weights: Float64Array): NamedComponent[] {
  const { record, level, driftSd, centredT, warmUp, factors, isBracketed, input } = context
  const fraction = record.ambientFracSd ?? WHERE_SILENT.ambientFracSd
  const warming: NamedComponent[] =
    input.hasWarmUpTerm && !isBracketed
      ? [{ term: 'warm_up', variance: (WARM_UP * level) ** 2 * squaredProjection(weights, warmUp), dof: INFINITE_DOF }]
      : []
  return [
    {
      term: 'drift',
      variance: driftSd * driftSd * squaredProjection(weights, centredT),
      dof: record.driftDof ?? INFINITE_DOF,
    },
    ...warming,
    {
      term: 'ambient',
      variance: (fraction * level) ** 2 * squaredProjection(weights, factors),
      dof: record.ambientDof ?? INFINITE_DOF,
    },
  ]
}

interface DayTerm {
  readonly components: readonly NamedComponent[]
  /** More than one day, and no day value. */
  readonly isUnknown: boolean
}

function dayTerm({ input, record, level }: FitContext, weights: Float64Array): DayTerm {
  const days = [...new Set(input.days)]
  if (input.days === null || days.length < 2) return { components: [], isUnknown: false }
  const { dayRelSd, dayDof } = record
  if (dayRelSd === null || dayDof === null) return { components: [], isUnknown: true }

  const dayOf = Int32Array.from(input.days, (day) => days.indexOf(day))
  const weight = sumOfSquaredGroupSums(weights, dayOf, days.length)
  return { components: [{ term: 'day', variance: (level * dayRelSd) ** 2 * weight, dof: dayDof }], isUnknown: false }
}

function asMountedOf(context: FitContext, contrast: Float64Array): AsMounted | null {
  if (context.repeatability.variance === null) return null
  const components = [
    ...repeatTerm(context, contrast),
    ...sharedTerms(context, contrast),
    ...dayTerm(context, contrast).components,
  ]
  const estimate = dot(contrast, context.y)
  const interval = budgetedInterval(context, estimate, components)
  return interval === null ? null : { ...interval, estimate, weights: contrast }
}

function budgetedInterval(
  context: FitContext,
  estimate: number,
  components: readonly NamedComponent[],
): BudgetedInterval | null {
  const interval = intervalOf(estimate, components, isHoweForced(context.record, context, components))
  return interval === null ? null : { ...interval, components }
}

/** Howe is forced while a component of this interval comes from a group that is only assumed or a network's. */
function isHoweForced(
  record: FacilityFigures,
  { repeatability }: FitContext,
  components: readonly NamedComponent[],
): boolean {
  const isBorrowed = (group: 'repeat' | 'mount' | 'day') =>
    record.status[group] === 'network' || record.status[group] === 'assumed'
  return components.some(({ term }) => {
    if (term === 'repeat') return repeatability.mode === 'moderated' && isBorrowed('repeat')
    if (term === 'mount') return record.mountRelSd !== null && isBorrowed('mount')
    return term === 'day' && isBorrowed('day')
  })
}

function flagsOf(context: FitContext, mount: MountingTerm, day: DayTerm, scope: FitScope): readonly FitFlag[] {
  const { repeatability, drift, input } = context
  const isUnits = mount.mode === 'session_mounting_means'
  const mountFlags =
    scope === 'none' && !isUnits
      ? []
      : scope === 'none'
        ? mount.flags.filter((flag) => flag === 'zero_variance')
        : mount.flags
  const flags: readonly (FitFlag | null)[] = [
    input.factors.includes(null) ? 'ambient_not_evidenced' : null,
    drift.isDetected ? 'drift_detected' : null,
    repeatability.mode === 'session_only_noisier_than_facility' ? 'noisier_than_facility' : null,
    repeatability.mode === 'zero_variance' ? 'zero_variance' : null,
    ...mountFlags,
    day.isUnknown && scope !== 'none' ? 'between_day_component_unknown' : null,
  ]
  return [...new Set(flags.flatMap((flag) => flag ?? []))]
}
