import type { ProtocolCheck } from '../../../contract/protocol.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { ofSide } from '../../inputs/session.ts'
import { median } from '../../numerics/median.ts'
import { toSI } from '../../physics/units.ts'
import { curveSmoothing } from '../../statistics/detectors/curve-smoothing.ts'
import { traceQuality } from '../../statistics/detectors/trace-quality.ts'
import { type Check, gradeAtMost, graded, gravest, limitOf, type Observation, observation } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides were recorded and exported alike: declared smoothing, sample density, and the noise that the curves show.
 *
 * Noise: | ln(median roughness of one side / of the other) | as a ratio [1]; density: points per 1,000 rpm, side medians, the
 * larger over the smaller [1]. `breached` where declared smoothing differs or a limit is left; `marginal` where nobody says
 * how the curves were smoothed but their noise agrees; `not-evidenced` where neither is known.
 *
 * It weighs as a gate where a peak is claimed: smoothing lowers a peak, and no later smoothing repairs it; else as scope.
 * Basis: measurement-model §6 and §8; density common practice, no source.
 */
export const processingMatched: Check = {
  name: 'processing-matched',
  compares: 'declared smoothing, sample density, and the noise spectrum of the curves',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  owns: ['processing/smoothing'],
  observe: (evidence, rule) => ({
    ...processingFinding(evidence, rule),
    severity: evidence.isPeakClaimed ? 'gate' : rule.severity,
  }),
}

function processingFinding(evidence: Evidence, rule: ProtocolCheck): Observation {
  const declared = declaredSmoothing(evidence)
  if (declared.status === 'breached') return declared
  const noise = noiseFinding(evidence, rule)
  const seen = gravest([...(noise === null ? [] : [noise]), ...densityFinding(evidence, rule)])
  if (seen !== undefined && seen.status !== 'met') return seen
  if (declared.status === 'met') return seen === undefined ? declared : { ...seen, sentence: declared.sentence }
  if (noise === null) return declared
  return observation('marginal', {
    runs: declared.runs,
    sentence: 'Nobody says how the curves were smoothed, but their noise is alike on both sides.',
    remedy: declared.remedy,
  })
}

function declaredSmoothing({ session }: Evidence): Observation {
  return sameOnEveryRun(
    session.used,
    [
      { name: 'smoothing kernel', read: ({ processing }) => processing.smoothing?.kernel ?? null },
      {
        name: 'smoothing width',
        read: ({ processing }) => {
          const width = processing.smoothing?.width
          return width === undefined ? null : toSI('rotationalSpeed', width)
        },
        isOptional: true,
      },
    ],
    {
      same: 'Both sides were exported with the same smoothing.',
      ifDifferent: 'Export both sides with one smoothing, best none.',
      ifMissing: 'Say how the exported curves were smoothed: kernel and width, or none.',
    },
  )
}

/** By the noise of the curves; null where they have none to compare. */
function noiseFinding({ compared, session }: Evidence, rule: ProtocolCheck): Observation | null {
  const hasBothSides = (['baseline', 'modified'] as const).every((side) => ofSide(session.used, side).length > 0)
  if (compared === null || !hasBothSides) return null
  const { observed, smootherSide, runs } = curveSmoothing(compared.curves)
  const ratio = Math.exp(observed)
  if (!Number.isFinite(ratio)) return null
  const limit = limitOf(rule, 'roughness')
  const isAlike = gradeAtMost(ratio, limit) === 'met'
  const side = smootherSide === 0 ? 'baseline' : 'modified'
  return observation(isAlike ? 'met' : 'breached', {
    observed: ratio,
    limit: limit.met,
    unit: limit.unit,
    runs: isAlike ? [] : runs.flatMap((i) => session.used[i]?.id ?? []),
    sentence: isAlike
      ? 'The noise of the curves is alike on both sides.'
      : `The curves of the ${side} side are the smoother ones, ${ratio.toFixed(1)} times in noise power: they were processed otherwise.`,
    remedy: 'Export both sides with one smoothing, best none, from one sampling rate.',
    closeness: ratio / limit.met,
  })
}

function densityFinding({ session, traces }: Evidence, rule: ProtocolCheck): Observation[] {
  const density = (side: 'baseline' | 'modified') =>
    ofSide(session.used, side).flatMap((run) => {
      const speeds = traces.get(run)?.columns.engineSpeed_rpm
      return speeds === undefined ? [] : [traceQuality(speeds, null, { from_rpm: 0, to_rpm: 0 }).density]
    })
  const [a, b] = [median(density('baseline')), median(density('modified'))]
  const ratio = Math.max(a, b) / Math.min(a, b)
  if (!Number.isFinite(ratio)) return []
  return [
    graded({
      observed: ratio,
      limit: limitOf(rule, 'density'),
      sentence: `Points per 1,000 rpm: ${a.toFixed(1)} baseline, ${b.toFixed(1)} modified.`,
      remedy: 'Record both sides at one sampling rate and export them at one spacing.',
      runs: session.used.map(({ id }) => id),
    }),
  ]
}
