import { answerOf, type ClaimAnswer } from '../../../packages/sdk/src/engine/claims/answer.ts'
import { judgementsOf } from '../../../packages/sdk/src/engine/claims/judgement.ts'
import { holm, weightedGraph } from '../../../packages/sdk/src/engine/claims/multiplicity.ts'
import type { ClaimQuestion } from '../../../packages/sdk/src/engine/claims/question.ts'
import { type DriftModels, restartedCovariate } from '../../../packages/sdk/src/engine/statistics/drift-models.ts'
import { type CurveSet, type FigureSubject, figureOf } from '../../../packages/sdk/src/engine/statistics/figure.ts'
import type { SessionInput } from '../../../packages/sdk/src/engine/statistics/session-input.ts'
import { recordOf, type VectorRecord } from './record.ts'
import { prepared, type VectorRun } from './runs.ts'

interface VectorClaim {
  readonly id: string
  readonly type: 'at_least' | 'at_most' | 'equals_within' | 'everywhere_at_least' | 'no_loss' | 'up_to'
  readonly metric?: 'band_mean' | 'at_rpm' | 'peak_power' | 'peak_torque'
  readonly r1?: number
  readonly r2?: number
  readonly rpm?: number
  readonly x?: number
  readonly tol?: number
  readonly margin?: number
  readonly unit?: string
}

interface AnalyseVector {
  readonly runs: VectorRun[]
  readonly facility: VectorRecord | null
  readonly claims: VectorClaim[]
  readonly plan: { primary: string; registered: string[]; q: number } | null
}

function subjectOf(claim: VectorClaim): FigureSubject {
  if (claim.metric === 'band_mean')
    return { kind: 'band-mean', quantity: 'power', from_rpm: claim.r1 ?? 0, to_rpm: claim.r2 ?? 0 }
  if (claim.metric === 'at_rpm') return { kind: 'at-speed', quantity: 'power', at_rpm: claim.rpm ?? 0 }
  return { kind: 'peak', quantity: claim.metric === 'peak_torque' ? 'torque' : 'power' }
}

function questionOf(claim: VectorClaim, curves: CurveSet): ClaimQuestion {
  const isRelative = claim.unit === '%'
  const scaled = (value: number) => (isRelative ? Math.log1p(value / 100) : value)
  if (claim.type === 'everywhere_at_least' || claim.type === 'no_loss' || claim.type === 'up_to') {
    const value = claim.type === 'no_loss' ? -(claim.margin ?? 0) : (claim.x ?? 0)
    const shape = claim.type === 'up_to' ? 'anywhere' : 'everywhere'
    return { shape, curves, from_rpm: claim.r1 ?? 0, to_rpm: claim.r2 ?? 0, value: scaled(value), isRelative }
  }
  const [x, tol] = [claim.x ?? 0, claim.tol ?? 0]
  return {
    shape: 'figure',
    figure: figureOf(curves, subjectOf(claim)),
    relation: claim.type === 'at_least' ? 'at-least' : claim.type === 'at_most' ? 'at-most' : 'equals-within',
    lower: scaled(x - tol),
    upper: scaled(x + tol),
    isRelative,
  }
}

/** Kind `analyse`. */
export function analyse({ runs, facility, claims, plan }: AnalyseVector): unknown {
  const { grid, smooth, sides, mountings, factors, days, t } = prepared(runs)
  const curves: CurveSet = { grid, power: smooth, sides, torqueFactor: 7120.8 }
  const session: SessionInput = {
    sides,
    mountings,
    factors,
    days,
    record: recordOf(facility),
    hasWarmUpTerm: facility?.warm_up === true,
    isOrderKnown: true,
  }
  const models: DriftModels = { session: t, restarted: restartedCovariate(t, sides, mountings), byClock: null }
  const questions = claims.map((claim) => questionOf(claim, curves))
  const answers = questions.map((question) => answerOf(question, session, models))
  const registered =
    plan === null
      ? null
      : {
          primary: claims.findIndex(({ id }) => id === plan.primary),
          registered: plan.registered.map((id) => claims.findIndex((claim) => claim.id === id)),
          q: plan.q,
        }
  const judgements = judgementsOf(answers, registered)
  return {
    t: [...t],
    claims: claims.map((claim, i) => {
      const [answer, question, judged] = [answers[i], questions[i], judgements[i]]
      if (answer === undefined || question === undefined || judged === undefined) return null
      return {
        id: claim.id,
        ...words(answer, question),
        ...(judged.supportP === null ? {} : { adj_support: judged.supportP, adj_contra: judged.contradictionP }),
        judgement: judged.judgement,
        ...(judged.supportP === null
          ? { reason: 'exploratory' }
          : answer.reason === null
            ? {}
            : { reason: answer.reason }),
      }
    }),
  }
}

function words(answer: ClaimAnswer, question: ClaimQuestion): Record<string, unknown> {
  const scaled = (value: number) => (question.isRelative ? 100 * Math.expm1(value) : value)
  const modelled = answer.fit ?? answer.band
  const fits =
    answer.fit === null
      ? []
      : [answer.fit.main, ...answer.fit.others].flatMap((outcome) => (outcome.ok ? outcome.fit : []))
  const intervals = fits.flatMap(({ interval }) => interval ?? [])
  const scope = fits[0]?.scope ?? (answer.band?.main.ok === true ? answer.band.main.value.scope : undefined)
  return {
    p_support: answer.supportP,
    p_contra: answer.contradictionP,
    two_drift_models: modelled?.hasTwoDriftModels ?? false,
    scope,
    ...(question.shape === 'figure' && question.figure.where !== null
      ? { where: { 0: question.figure.where[0], 1: question.figure.where[1] } }
      : {}),
    ...(fits[0] === undefined ? {} : { estimate: scaled(fits[0].estimate) }),
    ...(intervals.length === 0
      ? {}
      : {
          lo: scaled(Math.min(...intervals.map(({ low }) => low))),
          hi: scaled(Math.max(...intervals.map(({ high }) => high))),
        }),
    ...(answer.extremes === null
      ? {}
      : {
          worst_rpm: answer.extremes.worst_rpm,
          best_rpm: answer.extremes.best_rpm,
          min_D: scaled(answer.extremes.smallest.gain),
          max_D: scaled(answer.extremes.largest.gain),
        }),
  }
}

/** Kind `corrections`. */
export function corrections(input: { holm: number[][]; graph: { p: number[]; primary: number }[] }): unknown {
  return { holm: input.holm.map(holm), graph: input.graph.map(({ p, primary }) => weightedGraph(p, primary)) }
}
