import type { ProtocolCheck } from '../../../contract/protocol.ts'
import type { ClaimedBand } from '../../evidence/claimed-band.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import type { RunTrace } from '../../evidence/trace.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { type TraceQuality, traceQuality } from '../../statistics/detectors/trace-quality.ts'
import {
  type Check,
  channelAbsent,
  graded,
  gradedAtLeast,
  gravest,
  limitOf,
  type Observation,
  observation,
} from '../check.ts'

/**
 * Every used run is one full-throttle sweep, recorded densely enough over all that is claimed.
 *
 * Per run: span of the sweep [rpm]; fall of the engine speed below what it had reached [rpm]; points per 1,000 rpm; largest
 * step from point to point [rpm]; smallest throttle inside the claimed band over the run's largest [%]; claimed band covered.
 * Each is held to its own limit, the gravest counts. `not-evidenced` where a run has no recording, or none of the throttle.
 *
 * Engine speeds that no run reaches are the claim's fault, not a run's: such a claim is undecided, and no run is blamed.
 * Basis: measurement-model §8; common practice, no source.
 */
export const traceSound: Check = {
  name: 'trace-sound',
  compares: 'rising engine speed, sample density, gaps, full throttle, cover of the claimed band; run by run',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  isRunCheck: true,
  observe: (evidence, rule) => {
    const traced = evidence.session.used.flatMap((run) => {
      const trace = evidence.traces.get(run)
      return trace === undefined ? [] : [{ run, trace }]
    })
    const found = traced.flatMap(({ run, trace }) => qualityFindings(run, trace, evidence, rule))
    const worst = gravest(found)
    if (worst === undefined || worst.status === 'met') {
      return missingChannel(evidence) ?? { ...(worst ?? observation('met', { sentence: '' })), sentence: ALL_SOUND }
    }
    const runs = found.filter(({ status }) => status === worst.status).flatMap((each) => each.runs)
    return { ...worst, runs: [...new Set(runs)] }
  },
}

const ALL_SOUND = 'Every run is one full-throttle sweep, recorded densely over all that is claimed.'

function missingChannel({ session, traces }: Evidence): Observation | null {
  const unrecorded = session.used.filter((run) => !traces.has(run))
  if (unrecorded.length > 0 || session.used.length === 0) {
    return channelAbsent({
      channel: 'recorded curves',
      remedy: 'Hand in the recorded channels of every run, engine speed and power at least.',
      runs: unrecorded,
    })
  }
  const blind = session.used.filter((run) => traces.get(run)?.columns.throttle_1 == null)
  if (blind.length === 0) return null
  return channelAbsent({
    channel: 'throttle channel',
    remedy: 'Record the throttle opening with every run, so that full throttle is seen and not taken on trust.',
    runs: blind,
    evidence: 'repeat',
  })
}

function qualityFindings(run: SessionRun, trace: RunTrace, evidence: Evidence, rule: ProtocolCheck): Observation[] {
  const { columns, fallBack_rpm } = trace
  const speeds = columns.engineSpeed_rpm
  const span_rpm = (speeds.at(-1) ?? 0) - (speeds[0] ?? 0)
  const whole = { from_rpm: speeds[0] ?? 0, to_rpm: speeds.at(-1) ?? 0 }
  const quality = traceQuality(speeds, columns.throttle_1, evidence.claimedBand ?? whole)
  const runs = [run.id]
  return [
    gradedAtLeast({
      observed: span_rpm,
      limit: limitOf(rule, 'span'),
      sentence: `The engine speed of run ${run.id} rises by ${span_rpm.toFixed(0)} rpm.`,
      remedy: 'Hand in a full-throttle sweep, from low engine speed to the top; this recording holds none.',
      runs,
    }),
    graded({
      observed: fallBack_rpm,
      limit: limitOf(rule, 'fallBack'),
      sentence: `The engine speed of run ${run.id} falls back by up to ${fallBack_rpm.toFixed(0)} rpm on its way up.`,
      remedy: 'Sweep in one pull without lifting or changing gear, and check the engine-speed pick-up.',
      runs,
    }),
    ...densityFindings(run, quality, rule),
    ...throttleFinding(run, quality, rule),
    ...coverFinding(run, quality, evidence),
  ]
}

function densityFindings({ id }: SessionRun, { density, largestGap_rpm }: TraceQuality, rule: ProtocolCheck) {
  const runs = [id]
  const remedy = 'Record or export more points: sample faster, sweep slower, or choose a finer export.'
  return [
    gradedAtLeast({
      observed: density,
      limit: limitOf(rule, 'density'),
      sentence: `Run ${id} holds ${density.toFixed(1)} points per 1,000 rpm.`,
      remedy,
      runs,
    }),
    graded({
      observed: largestGap_rpm,
      limit: limitOf(rule, 'gap'),
      sentence: `The widest gap of run ${id} is ${largestGap_rpm.toFixed(0)} rpm.`,
      remedy,
      runs,
    }),
  ]
}

function throttleFinding({ id }: SessionRun, { throttle }: TraceQuality, rule: ProtocolCheck): Observation[] {
  if (throttle === null) return []
  const percent = 100 * throttle
  return [
    gradedAtLeast({
      observed: percent,
      limit: limitOf(rule, 'throttle'),
      sentence: `The throttle of run ${id} stands at ${percent.toFixed(0)} % of its most at the least, inside the band.`,
      remedy: 'Hold the throttle fully open from below the claimed band to its end.',
      runs: [id],
    }),
  ]
}

function coverFinding(run: SessionRun, { isCovered }: TraceQuality, evidence: Evidence): Observation[] {
  const { claimedBand: band, session, traces } = evidence
  if (isCovered || band === null) return []
  const others = session.used.filter((other) => other !== run)
  if (others.length > 0 && !others.some((other) => reaches(traces.get(other), band))) return []
  return [
    observation('breached', {
      observed: 'not covered',
      limit: 'covered',
      runs: [run.id],
      sentence: `Run ${run.id} does not reach from ${band.from_rpm.toFixed(0)} to ${band.to_rpm.toFixed(0)} rpm, which is claimed.`,
      remedy: 'Sweep over the whole claimed band, leave the run out under the rule `trace`, or claim a narrower band.',
    }),
  ]
}

function reaches(trace: RunTrace | undefined, { from_rpm, to_rpm }: ClaimedBand): boolean {
  const speeds = trace?.columns.engineSpeed_rpm
  return (speeds?.[0] ?? Number.POSITIVE_INFINITY) <= from_rpm && (speeds?.at(-1) ?? 0) >= to_rpm
}
