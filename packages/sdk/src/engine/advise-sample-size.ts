import type {
  AdvisedDesign,
  RelativeGain,
  SampleSizeReport,
  SampleSizeRequest,
  SampleSizeTarget,
} from '../contract/sample-size.ts'
import { rpmOf } from './evidence/subject.ts'
import { roundSignificant } from './numerics/round-significant.ts'
import { protocolOf } from './protocol/protocol-of.ts'
import { advisedDesigns, designWords, fewestPerSideOf, type WeighedDesign } from './result/advised-designs.ts'
import { type PlanningBasis, planningBasis } from './result/planning-figures.ts'
import { chanceOf, type PlanningTarget } from './statistics/sample-size.ts'

/**
 * How many runs and mountings a comparison needs for a target, in the order in which they are advised.
 *
 * @param request target, and what is known of facility and swap; as `readSampleSize` accepts it.
 * @returns designs with what each would show, and what the figures rest on. The same input gives the same answer.
 * @throws EngineError `ERR_UNKNOWN_PROTOCOL`.
 *
 * Source: measurement-model §11. Tested: tests/engine/sample-size-advice.test.ts.
 */
export function adviseSampleSize(request: SampleSizeRequest): SampleSizeReport {
  const { data: protocol } = protocolOf(request.protocol)
  const width_rpm = request.bandWidth === undefined ? 0 : rpmOf(request.bandWidth)
  const basis = planningBasis(request.record, protocol.assumed.typical, width_rpm)
  const target = planningTarget(request.target)
  const designs = advisedDesigns({
    target,
    figures: basis.figures,
    swap: request.swap ?? null,
    fewestPerSide: fewestPerSideOf(protocol),
  })
  return {
    protocol: protocol.id,
    verdict: verdictOf(designs, request.target),
    designs: designs.map((design) => adviceOf(design, chanceOf(target))),
    figures: basis.rows,
    limits: limitsOf(request, basis, designs),
  }
}

/** The target on the scale of the analysis, ln. Source: measurement-model §4. */
function planningTarget(target: SampleSizeTarget): PlanningTarget {
  if (target.kind === 'half-width') return { kind: 'half-width', halfWidth: Math.log1p(target.halfWidth.value / 100) }
  const { atLeast, slack, chance } = target
  const claimed = Math.log1p(atLeast.value / 100)
  const expected = Math.log1p((atLeast.value + slack.value) / 100)
  return { kind: 'claim', slack: expected - claimed, ...(chance === undefined ? {} : { chance }) }
}

function adviceOf(design: WeighedDesign, chance: number): AdvisedDesign {
  const { layout, mountings, runs, u, dof, halfWidth, slack, isEnough, isMountingShared } = design
  const percent = (log: number) => 100 * Math.expm1(log)
  return {
    layout,
    mountings,
    runsPerMounting: runs,
    runs: 2 * mountings * runs,
    standardUncertainty: roundSignificant(100 * u),
    degreesOfFreedom: roundSignificant(dof),
    halfWidth: roundSignificant(percent(halfWidth)),
    slack: roundSignificant(percent(slack)),
    isEnough,
    sentence: `${instruction(design, isMountingShared)}. Expected: a 95 % interval of ±${percent(halfWidth).toFixed(2)} %, and support for a claim ${percent(slack).toFixed(2)} % below the true gain with a chance of ${chanceText(chance)}.`,
  }
}

function instruction(design: WeighedDesign, isMountingShared: boolean): string {
  const { mountings, runs } = design
  if (isMountingShared) {
    const where = mountings === 1 ? '' : `, in each of ${mountings} mountings`
    return `Stay strapped down and let the sides take turns (baseline, modified, modified, baseline, and so on) with equal pauses after a conditioning run: ${runs} measured runs of each side${where}`
  }
  const times = mountings === 1 ? 'once' : `${mountings} times`
  const each = runs === 1 ? 'one measured run' : `${runs} measured runs`
  return `Strap the machine down ${times} within each side without touching the part, with conditioning runs and ${each} in each mounting`
}

function verdictOf([first]: readonly WeighedDesign[], target: SampleSizeTarget): string {
  const aim = targetWords(target)
  if (first === undefined) return `Nothing that was looked at gives an interval, so nothing can be promised for ${aim}.`
  const words = designWords(first).replace(/,$/, '')
  return first.isEnough ? `For ${aim}: ${words}.` : `No sensible number of runs reaches ${aim}; ${words} come closest.`
}

function targetWords(target: SampleSizeTarget): string {
  if (target.kind === 'half-width') return `a 95 % interval of ±${gainText(target.halfWidth)}`
  const { atLeast, slack, chance } = target
  const expected = { ...slack, value: Number((atLeast.value + slack.value).toPrecision(6)) }
  return `support of “at least ${gainText(atLeast)}” with a chance of ${chanceText(chance ?? chanceOf({ kind: 'claim', slack: 1 }))} where the gain is ${gainText(expected)}`
}

function gainText({ value, unit }: RelativeGain): string {
  return `${value} ${unit}`
}

function chanceText(chance: number): string {
  return `${Number((100 * chance).toPrecision(3))} %`
}

function limitsOf(
  { record, bandWidth, swap }: SampleSizeRequest,
  { figures, rows }: PlanningBasis,
  designs: readonly WeighedDesign[],
): readonly string[] {
  const isAssumed = rows.some(({ status }) => status === 'assumed' || status === 'network')
  return [
    'What is expected is not what will be found: the runs themselves decide, and they may scatter more or less.',
    'The air is taken to be the same on both sides, and all runs to be of one day.',
    ...(designs.some(({ layout }) => layout === 'strapped-again')
      ? [
          'Where one side comes first, log the engine temperature at every run start or make three conditioning runs in each mounting; else a warm-up term widens the interval.',
        ]
      : []),
    ...(isAssumed
      ? [
          `${record === undefined ? 'There is no facility record' : 'The record does not hold everything'}: sizes marked as assumed or from other facilities stand in, and only the planned runs supply their degrees of freedom.`,
        ]
      : []),
    ...(rows.some(({ term, status }) => term === 'drift' && status === 'assumed') &&
    designs.some(({ layout }) => layout === 'strapped-again')
      ? [
          `With all of one side first, a drift of ${Number((100 * (figures.driftRelSdPerRun ?? 0)).toPrecision(3))} % a run that nobody measured grows with the length of the session; a recorded drift value narrows the interval.`,
        ]
      : []),
    ...(bandWidth === undefined
      ? ['Reckoned for a peak or one engine speed; the mean over a band scatters less.']
      : []),
    ...(swap === undefined
      ? [
          'Nobody says how long the swap takes: taking turns is for swaps of minutes that are made on the rollers and can be undone.',
        ]
      : []),
  ]
}
