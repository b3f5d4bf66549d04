import { type RecordReading, recordOf } from '../inputs/facility-record.ts'
import type { Session, SessionRun } from '../inputs/session.ts'
import { type DriftModels, type Modelled, modelledFit } from '../statistics/drift-models.ts'
import { type FacilityFigures, NOTHING_DECLARED } from '../statistics/facility-record.ts'
import { type CurveSet, type FigureSubject, figureOf } from '../statistics/figure.ts'
import type { ScalarFit, ScalarOutcome } from '../statistics/scalar-fit.ts'
import type { SessionInput } from '../statistics/session-input.ts'
import { type SideScatter, sideScatter } from '../statistics/side-scatter.ts'
import { driftModelsOf, sessionInput } from './analysis.ts'
import { type ClaimedBand, claimedBandOf } from './claimed-band.ts'
import { type ComparedSession, comparedSession } from './compared-session.ts'
import { copiesIn, type DroppedCopy, withoutCopies } from './copies.ts'
import { correctionOf, type SessionCorrection } from './correction.ts'
import { curvesOf, type SessionCurves, scaledCurves } from './curves.ts'
import { sessionFigure } from './figures.ts'
import { subjectName, subjectOf } from './subject.ts'
import { type Traces, tracesOf } from './trace.ts'

/** How the mountings are shared out. */
export interface MountingCount {
  /** Mountings that hold runs of each side. */
  readonly baseline: number
  readonly modified: number
  /** Whether one mounting holds runs of both sides. */
  readonly oneHoldsBothSides: boolean
  /** Whether a re-mounting term is in the budget: declared, or seen from mountings as units. */
  readonly hasRemountingTerm: boolean
}

/** The fit that the checks look at and the summary is headed by. */
export interface Headline {
  /** Of what. */
  readonly subject: FigureSubject
  /** In words, for example `band mean 3,000 to 9,000 rpm`. */
  readonly name: string
  /** The relative fit under every drift model. */
  readonly modelled: Modelled<ScalarOutcome>
  /** The fit of the main model. */
  readonly fit: ScalarFit
  /** Pooled within-mounting relative standard deviation of the runs alone; null with no degree of freedom. [1] */
  readonly withinRelativeSd_1: number | null
  /** The same of each side on its own, and whether they differ. */
  readonly sideScatter: SideScatter
}

/** A run left out under a named rule whose own check does not say so. */
export interface UnborneExclusion {
  /** Id of the run. */
  readonly run: string
  /** The rule it was left out under. */
  readonly rule: string
  /** The check that judges the rule. */
  readonly check: string
}

/** Everything the checks and the claims look at, computed once. */
export interface Evidence {
  /** The session, without the copies that were dropped. */
  readonly session: Session
  /** Every measured run's recording, read once. */
  readonly traces: Traces
  /** Runs that are another run once more; dropped, and everything analysed without them. */
  readonly copies: readonly DroppedCopy[]
  /** Runs left out under a rule that is not borne out; empty until somebody has asked the rule's check. */
  readonly unborne: readonly UnborneExclusion[]
  /** Curves and noise sizes for the detectors; null where there are no curves on a common grid. */
  readonly compared: ComparedSession | null
  /** Engine speeds that the claims speak of; null where none names any. */
  readonly claimedBand: ClaimedBand | null
  /** Mountings of each side. */
  readonly mountings: MountingCount
  /** The facility record. */
  readonly recordReading: RecordReading
  /** The facility's own figures; null when there is no record. */
  readonly record: FacilityFigures | null
  /** How the figures are corrected. */
  readonly correction: SessionCorrection
  /** Curves as exported; null where a run has none. */
  readonly exported: SessionCurves | null
  /** Curves in the judged correction. */
  readonly curves: CurveSet | null
  /** What every fit shares. */
  readonly input: SessionInput
  /** Drift models of the session. */
  readonly models: DriftModels
  /** The headline fit; null where there is none. */
  readonly headline: Headline | null
  /** Whether a claim speaks of a peak. */
  readonly isPeakClaimed: boolean
}

/**
 * Everything the checks and claims look at.
 *
 * @param session the session.
 * @returns the evidence. Pure; never throws on weak evidence.
 */
export function evidenceOf(session: Session): Evidence {
  const traces = tracesOf(session)
  const seen = evidenceFrom(session, traces)
  const copies = copiesIn(seen.session, traces, seen.compared)
  return copies.length === 0 ? seen : { ...evidenceFrom(withoutCopies(session, copies), traces), copies }
}

/**
 * The evidence of a session whose traces are read already: for another choice of runs.
 *
 * @param session the session; its runs are those of the traces.
 * @param traces of its measured runs.
 * @returns the evidence; copies are not looked for. Pure; never throws on weak evidence.
 */
export function evidenceFrom(session: Session, traces: Traces): Evidence {
  const recordReading = recordOf(session)
  const correction = correctionOf(session)
  const exported = curvesOf(session, traces)
  const curves = exported === null ? null : scaledCurves(exported.smoothed, correction.toJudged)
  const input = sessionInput(session, correction, recordReading.own)
  const models = driftModelsOf(session)
  const headline = headlineOf(session, curves, correction, input, models)
  return {
    session,
    traces,
    copies: [],
    unborne: [],
    compared: comparedSession({ session, exported, curves, correction, record: recordReading.own ?? NOTHING_DECLARED }),
    claimedBand: claimedBandOf(session),
    mountings: mountingsOf(session, headline),
    recordReading,
    record: recordReading.own,
    correction,
    exported,
    curves,
    input,
    models,
    headline,
    isPeakClaimed: (session.comparison.claims ?? []).some(({ over }) => over.kind === 'peak'),
  }
}

function mountingsOf({ used }: Session, headline: Headline | null): MountingCount {
  const of = (side: SessionRun['side']) =>
    new Set(used.filter((run) => run.side === side).map(({ mounting }) => mounting))
  const [baseline, modified] = [of('baseline'), of('modified')]
  return {
    baseline: baseline.size,
    modified: modified.size,
    oneHoldsBothSides: [...baseline].some((mounting) => modified.has(mounting)),
    hasRemountingTerm: headline?.fit.components.some(({ term }) => term === 'mount') ?? false,
  }
}

/** The band of the first band-mean claim, else the whole common range, else the printed peaks. */
function headlineOf(
  session: Session,
  curves: CurveSet | null,
  correction: SessionCorrection,
  input: SessionInput,
  models: DriftModels,
): Headline | null {
  const subject = headlineSubject(session, curves)
  const figure = sessionFigure(session, curves, correction.toJudged, subject)
  if (figure.values.length === 0) return null
  const modelled = modelledFit(
    { ...input, values: figure.values, width_rpm: figure.width_rpm, isRelative: true },
    models,
  )
  if (!modelled.main.ok) return null
  const { fit } = modelled.main
  return {
    subject,
    name: subjectName(subject),
    modelled,
    fit,
    withinRelativeSd_1: fit.withinSd,
    sideScatter: sideScatter(figure.values.map(Math.log), input.sides, input.mountings),
  }
}

function headlineSubject({ comparison }: Session, curves: CurveSet | null): FigureSubject {
  if (curves === null) return { kind: 'peak', quantity: 'power' }
  const claimed = comparison.claims?.find(
    ({ over, quantity }) => over.kind === 'band-mean' && quantity === 'wheel-power',
  )
  const subject = claimed === undefined ? null : subjectOf(claimed)
  if (subject !== null && figureOf(curves, subject).problem === null) return subject
  const { engineSpeed_rpm } = curves.grid
  return {
    kind: 'band-mean',
    quantity: 'power',
    from_rpm: engineSpeed_rpm[0] ?? 0,
    to_rpm: engineSpeed_rpm.at(-1) ?? 0,
  }
}
