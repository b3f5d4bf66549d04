import type { ProtocolCheck } from '../../../contract/protocol.ts'
import { sideIndex } from '../../evidence/curves.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { gearReadingOf } from '../../evidence/gear-ratio.ts'
import { forEveryRun, speedTraceOf } from '../../evidence/speed-trace.ts'
import { isContinuouslyVariable } from '../../evidence/transmission.ts'
import { ofSide, type SessionRun } from '../../inputs/session.ts'
import { confusedSpeedUnit } from '../../physics/unit-confusion.ts'
import { gearInUse } from '../../statistics/detectors/gear-in-use.ts'
import { type Check, gradeAtMost, gravest, limitOf, type Observation, observation } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides ran in the same gear; another gear moves the curve along the engine speed and changes the loss.
 *
 * Three things are looked at: the declared gears; the gear that engine speed over roller speed shows, run against run, the
 * largest difference of its logarithm; and that ratio against the declared gear by gearing and tyre size, where both are
 * given. `breached` where one of them differs; `met` when the declared gears agree, or where none is declared and the ratio
 * shows one gear; `not-applicable` with a continuously variable drive.
 * Basis: measurement-model §8; against the gearing common practice, no source.
 */
export const gearMatched: Check = {
  name: 'gear-matched',
  compares: 'declared gears; the gear that engine speed over roller speed shows, and against the gearing',
  statuses: ['met', 'breached', 'not-evidenced', 'not-applicable'],
  isRunCheck: true,
  owns: ['setup/gear'],
  observe: (evidence, rule) => {
    if (isContinuouslyVariable(evidence.session)) {
      return observation('not-applicable', {
        sentence: 'The drive is continuously variable; it has no gears to match.',
      })
    }
    const declared = sameOnEveryRun(
      evidence.session.used,
      [{ name: 'gear', read: ({ setup }) => setup.gear ?? null }],
      WORDS,
    )
    if (declared.status === 'breached') return declared
    const byRatio = ratioFinding(evidence, rule)
    const shown = gravest([byRatio, againstGearing(evidence, rule)].flatMap((each) => each ?? []))
    if (shown?.status === 'breached') return shown
    if (declared.status !== 'met') return byRatio ?? declared
    return shown === undefined ? declared : { ...shown, sentence: declared.sentence }
  },
}

const WORDS = {
  same: 'One gear is declared on every run.',
  ifDifferent: 'Run both sides in one gear, the one nearest to direct drive.',
  ifMissing: 'Write down the gear of every run.',
}

/** Run against run; null where a run has no roller speed, or a side no run. */
function ratioFinding({ session, traces }: Evidence, rule: ProtocolCheck): Observation | null {
  const { used } = session
  const speeds = forEveryRun(used, (run) => speedTraceOf(run, traces))
  const hasBothSides = ofSide(used, 'baseline').length > 0 && ofSide(used, 'modified').length > 0
  if (speeds === null || !hasBothSides) return null
  const { observed } = gearInUse(speeds, used.map(sideIndex))
  const limit = limitOf(rule, 'ratio')
  const isSame = gradeAtMost(100 * observed, limit) === 'met'
  return observation(isSame ? 'met' : 'breached', {
    observed: 100 * observed,
    limit: limit.met,
    unit: limit.unit,
    runs: isSame ? [] : used.map(({ id }) => id),
    sentence: isSame
      ? 'Engine speed over roller speed shows one gear on every run.'
      : `Engine speed over roller speed differs by ${(100 * observed).toFixed(1)} % between runs: another gear was engaged.`,
    remedy: WORDS.ifDifferent,
    closeness: (100 * observed) / limit.met,
  })
}

/** Against the declared gear; null where it cannot be told. */
function againstGearing(evidence: Evidence, rule: ProtocolCheck): Observation | null {
  const limit = limitOf(rule, 'gearing')
  const readings = evidence.session.used.flatMap((run) => {
    const reading = gearReadingOf(run, evidence)
    const ratio_1 = reading?.againstDeclared_1 ?? null
    return reading === null || ratio_1 === null ? [] : [{ run, ratio_1, nearest: reading.nearest.gear }]
  })
  const percentOf = ({ ratio_1 }: { ratio_1: number }) => 100 * Math.abs(Math.log(ratio_1))
  const worst = readings.toSorted((a, b) => percentOf(b) - percentOf(a))[0]
  if (worst === undefined) return null
  const percent = percentOf(worst)
  const isSame = gradeAtMost(percent, limit) === 'met'
  const confusion = confusedSpeedUnit(worst.ratio_1)
  return observation(isSame ? 'met' : 'breached', {
    observed: percent,
    limit: limit.met,
    unit: limit.unit,
    runs: readings.filter((each) => gradeAtMost(percentOf(each), limit) !== 'met').map(({ run }) => run.id),
    sentence: `The speed ratio of run ${worst.run.id} lies ${percent.toFixed(0)} % from that of gear ${gearOf(worst.run)}; gear ${worst.nearest} is nearest.`,
    remedy:
      confusion === null
        ? 'Put the declared gear, the gearing or the tyre size right.'
        : `This is what ${confusion} makes: put the unit of that column right.`,
    closeness: percent / limit.met,
  })
}

const gearOf = ({ setup }: SessionRun): string => String(setup.gear)
