import type { ProtocolCheck } from '../../../contract/protocol.ts'
import type { RunCorrection } from '../../evidence/correction.ts'
import { factorOf } from '../../evidence/correction.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { ofSide } from '../../inputs/session.ts'
import { type Check, graded, limitOf, notEvidenced, type Observation, observation } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'
import { meanOf } from '../side-means.ts'

/**
 * Both sides carry one correction, taken at one place, and its factor comes out again from the recorded conditions.
 *
 * deviation_i = declared factor / ours − 1, reduced by half a printed digit. Between sides: | mean(modified) − mean(baseline) |,
 * a gate; level: | mean of all |, a note. [%]
 * Basis: the declared standard's own formula; limits common practice, no source.
 */
export const correctionMatched: Check = {
  name: 'correction-matched',
  compares: 'one standard and one place of measurement on both sides; declared factor against the recomputed one',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  isRunCheck: true,
  owns: ['processing/measuredAt', 'processing/correction', 'processing/factor'],
  observe: (evidence, rule) => sameDeclared(evidence) ?? factorsAgree(evidence, rule),
}

function sameDeclared({ session }: Evidence): Observation | null {
  const same = sameOnEveryRun(
    session.used,
    [
      { name: 'correction', read: ({ processing }) => processing.correction ?? null },
      { name: 'place of measurement', read: ({ processing }) => processing.measuredAt ?? null },
    ],
    {
      same: '',
      ifDifferent: 'Export both sides with one correction, best none, and from one place of measurement.',
      ifMissing:
        'Say which correction is in the figures, and whether they are at the wheel or estimated at the crankshaft.',
    },
  )
  return same.status === 'met' ? null : same
}

function factorsAgree({ correction, session }: Evidence, rule: ProtocolCheck): Observation {
  const corrected = correction.runs.filter(({ run }) => run.processing.correction !== 'none')
  if (corrected.length === 0) {
    return observation('met', { sentence: 'The figures of every run are uncorrected.' })
  }
  const deviations = corrected.flatMap(deviationOf)
  if (deviations.length < corrected.length) {
    return notEvidenced({
      sentence: 'The factor in the figures, or the conditions to recompute it from, are not recorded for every run.',
      remedy:
        'Export the factor of every run with its pressure, temperature and humidity, or export uncorrected power.',
      runs: corrected.filter((run) => deviationOf(run).length === 0).map(({ run }) => run.id),
      evidence: 'from-records',
    })
  }
  const of = (name: 'baseline' | 'modified') => ofSide(deviations, name).map(({ percent }) => percent)
  const [baseline, modified] = [of('baseline'), of('modified')]
  const runs = session.used.map(({ id }) => id)
  // One run alone has a level only.
  const between = baseline.length > 0 && modified.length > 0 ? Math.abs(meanOf(modified) - meanOf(baseline)) : 0
  const betweenSides = graded({
    observed: between,
    limit: limitOf(rule, 'betweenSides'),
    sentence: `Declared over recomputed factor differs by ${between.toFixed(2)} % between the sides.`,
    remedy: 'Check pressure, temperature and humidity of each run: the factors do not follow from them.',
    runs,
  })
  if (betweenSides.status !== 'met') return betweenSides
  const level = Math.abs(meanOf(deviations.map(({ percent }) => percent)))
  return graded({
    observed: level,
    limit: limitOf(rule, 'level'),
    sentence: `Declared factors lie ${level.toFixed(2)} % from the recomputed ones on both sides alike.`,
    remedy: 'Find out which standard and which pressure the rig really uses; the relative gain stands.',
    runs,
    severity: 'note',
  })
}

function deviationOf({ run, declared }: RunCorrection) {
  const ours = factorOf(declared)
  const printed = run.processing.factor
  if (ours === null || printed === undefined) return []
  const raw = printed.value / ours - 1
  const allowed = (printed.resolution ?? 0) / 2 / ours
  return [{ side: run.side, percent: 100 * Math.sign(raw) * Math.max(0, Math.abs(raw) - allowed) }]
}
