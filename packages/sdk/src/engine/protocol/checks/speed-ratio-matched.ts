import type { ProtocolCheck } from '../../../contract/protocol.ts'
import { sideIndex } from '../../evidence/curves.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { forEveryRun, loadedTraceOf, speedTraceOf } from '../../evidence/speed-trace.ts'
import { isContinuouslyVariable } from '../../evidence/transmission.ts'
import { ofSide } from '../../inputs/session.ts'
import { roundSignificant } from '../../numerics/round-significant.ts'
import { gearInUse } from '../../statistics/detectors/gear-in-use.ts'
import { lowLoadRatio, type SpeedTrace } from '../../statistics/detectors/speed-ratio-figures.ts'
import { type LoadedSpeedTrace, RATIO_WHERE_SILENT, tyreAndStraps } from '../../statistics/detectors/tyre-and-straps.ts'
import { type Check, channelAbsent, graded, limitOf, type Observation, observation } from '../check.ts'
import { meanOf } from '../side-means.ts'

/**
 * The drive tyre rolled alike on both sides: pressure, straps and slip show in engine speed over roller speed.
 *
 * With power at hand: per run the ratio without traction and its slope with the tractive force; p of the side difference
 * against how well facilities repeat, `breached` below `limits.p.met`. Without: side means of the low-load ratio [%],
 * `limits.lowLoad`. `not-applicable` with a continuously variable drive, or where the runs show different gears.
 * Basis: measurement-model §8, tyre/strap; without power common practice, no source.
 */
export const speedRatioMatched: Check = {
  name: 'speed-ratio-matched',
  compares: 'side difference of engine speed over roller speed: zero-traction ratio and slip slope',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced', 'not-applicable'],
  observe: (evidence, rule) => {
    const { used } = evidence.session
    if (isContinuouslyVariable(evidence.session)) {
      return observation('not-applicable', {
        sentence: 'The drive is continuously variable; its ratio moves by itself.',
      })
    }
    const traces = forEveryRun(used, (run) => speedTraceOf(run, evidence.traces))
    const hasBothSides = ofSide(used, 'baseline').length > 0 && ofSide(used, 'modified').length > 0
    if (traces === null || !hasBothSides) return rollerSpeedAbsent(evidence)
    if (gearInUse(traces, used.map(sideIndex)).isBroken) {
      return observation('not-applicable', {
        sentence: 'The runs show different gears; what tyre and straps did cannot be told beside that.',
      })
    }
    const loaded = forEveryRun(used, (run) => loadedTraceOf(run, evidence.traces))
    return loaded === null ? lowLoadFinding(evidence, traces, rule) : loadedFinding(evidence, loaded, rule)
  },
}

const REMEDY =
  'Check drive-tyre pressure and strap tension of both sides, let the tyre cool, and measure again; a softer tyre or a harder strapping costs power by itself.'

function loadedFinding(evidence: Evidence, traces: readonly LoadedSpeedTrace[], rule: ProtocolCheck): Observation {
  const { used } = evidence.session
  const runs = { sides: used.map(sideIndex), mountings: used.map(({ mounting }) => mounting) }
  const { observed: p } = tyreAndStraps(traces, runs, RATIO_WHERE_SILENT)
  const limit = limitOf(rule, 'p')
  const isBroken = roundSignificant(p) < limit.met
  return observation(isBroken ? 'breached' : 'met', {
    observed: p,
    limit: limit.met,
    unit: limit.unit,
    runs: isBroken ? used.map(({ id }) => id) : [],
    sentence: isBroken
      ? 'Rolling radius or slip of the drive tyre differ between the sides by more than facilities scatter.'
      : 'Rolling radius and slip of the drive tyre agree between the sides.',
    remedy: REMEDY,
  })
}

function lowLoadFinding({ session }: Evidence, traces: readonly SpeedTrace[], rule: ProtocolCheck): Observation {
  const mean = (side: 'baseline' | 'modified') =>
    meanOf(traces.flatMap((trace, i) => (session.used[i]?.side === side ? [Math.log(lowLoadRatio(trace))] : [])))
  const observed = 100 * Math.abs(mean('modified') - mean('baseline'))
  return graded({
    observed,
    limit: limitOf(rule, 'lowLoad'),
    sentence: `Engine speed over roller speed at low load differs by ${observed.toFixed(2)} % between the sides.`,
    remedy: REMEDY,
    runs: session.used.map(({ id }) => id),
  })
}

function rollerSpeedAbsent({ session, traces }: Evidence): Observation {
  return channelAbsent({
    channel: 'roller speed',
    remedy: 'Export the roller speed with every run: another tyre pressure or strap load shows in nothing else.',
    runs: session.used.filter((run) => speedTraceOf(run, traces) === null),
  })
}
