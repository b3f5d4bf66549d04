import type { ProtocolCheck } from '../../../contract/protocol.ts'
import type { Engine } from '../../../contract/vehicle.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { ownLambda_1, starvationOf } from '../../evidence/mixture.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { vehicleOf } from '../../inputs/session.ts'
import { leanStretch_1, mixtureTrace } from '../../statistics/detectors/mixture-trace.ts'
import { type Check, channelAbsent, graded, gravest, limitOf, type Observation, observation } from '../check.ts'

/**
 * The engine gets its fuel in every used run. A lean mixture at full load can destroy it, so this is a caution, too.
 *
 * With lambda, run by run: highest level that 300 rpm on end stay above [1]; root mean square about its own smooth course
 * [1]; and a top end that goes lean while the power falls away, against the other runs. Without lambda: only the power
 * falling away at the top against the other runs of the side, and then `not-evidenced` while nothing shows.
 * `not-applicable` for compression ignition, which runs lean by nature. Level and dispersion say nothing of a two-stroke, whose
 * exhaust is diluted by scavenging air; for a boosted engine, which needs it richer, they are the least that must hold.
 * Basis: measurement-model §8; level and dispersion common practice, no source, for spark ignition and petrol.
 */
export const fuellingSound: Check = {
  name: 'fuelling-sound',
  compares: 'lambda level and dispersion of each run; power falling away together with a lean top end',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced', 'not-applicable'],
  isRunCheck: true,
  observe: (evidence, rule) => {
    if (isEveryEngine(evidence, ({ ignition }) => ignition === 'compression')) {
      return observation('not-applicable', { sentence: 'The engine ignites by compression; it runs lean by nature.' })
    }
    const lambda = evidence.session.used.flatMap((run) => {
      const values = ownLambda_1(run, evidence.traces)
      return values === null ? [] : [{ run, values }]
    })
    const isTwoStroke = isEveryEngine(evidence, ({ cycle }) => cycle === 'two-stroke')
    const found = [
      ...starvationFindings(evidence),
      ...(isTwoStroke ? [] : lambda.flatMap(({ run, values }) => lambdaFindings(run, values, rule))),
    ]
    const worst = gravest(found)
    const isBlind = lambda.length < evidence.session.used.length || lambda.length === 0
    if (worst === undefined || worst.status === 'met') {
      return isBlind
        ? lambdaAbsent(evidence)
        : { ...starved([]), sentence: soundWords(evidence), observed: worst?.observed ?? null, unit: '1' }
    }
    return { ...worst, runs: found.filter(({ status }) => status === worst.status).flatMap(({ runs }) => runs) }
  },
}

function isEveryEngine({ session }: Evidence, isSo: (engine: Engine) => boolean): boolean {
  const engines = session.used.map((run) => vehicleOf(session, run)?.engine)
  return engines.length > 0 && engines.every((engine) => engine !== undefined && isSo(engine))
}

function soundWords(evidence: Evidence): string {
  if (isEveryEngine(evidence, ({ cycle }) => cycle === 'two-stroke'))
    return 'No run starves against the others. Scavenging air dilutes the exhaust of a two-stroke, so its lambda has no level to be held against.'
  if (isEveryEngine(evidence, ({ aspiration }) => aspiration === 'boosted'))
    return 'The mixture of every run is steady, and rich enough for natural aspiration; a boosted engine needs it richer, and how much richer no limit here says.'
  return 'The mixture of every run is steady and rich enough.'
}

const STOP =
  'Stop and find the cause before the next full-throttle run: fuel level, filter, pump, injectors or jets, sensor.'

function starvationFindings(evidence: Evidence): Observation[] {
  const starvation = starvationOf(evidence)
  return starvation === null || starvation.runs.length === 0 ? [] : [starved(starvation.runs, starvation)]
}

function starved(runs: readonly SessionRun[], seen?: { by: 'lambda' | 'power'; observed: number; limit: number }) {
  const ids = runs.map(({ id }) => id)
  return observation(runs.length === 0 ? 'met' : 'breached', {
    observed: seen?.observed ?? null,
    limit: seen?.limit ?? null,
    unit: seen === undefined ? '' : '1',
    runs: ids,
    sentence:
      runs.length === 0
        ? 'The mixture of every run is steady and rich enough.'
        : `${ids.join(', ')}: power falls away at the top end${seen?.by === 'lambda' ? ' while the mixture goes lean' : ' against the other runs of the side'}; the engine starves.`,
    remedy: `${STOP} Then measure again, or leave the run out under the rule \`fuelling\`.`,
  })
}

function lambdaFindings({ id }: SessionRun, lambda: Float64Array, rule: ProtocolCheck): Observation[] {
  const level = leanStretch_1(lambda)
  const { dispersion } = mixtureTrace(lambda)
  return [
    graded({
      observed: level,
      limit: limitOf(rule, 'level'),
      sentence: `Run ${id} stays above lambda ${level.toFixed(2)} over 300 rpm at full throttle.`,
      remedy: `A lean mixture at full load can destroy the engine. ${STOP}`,
      runs: [id],
    }),
    graded({
      observed: dispersion,
      limit: limitOf(rule, 'dispersion'),
      sentence: `Lambda of run ${id} scatters by ${dispersion.toFixed(3)} about its own course.`,
      remedy: 'Look for misfires, a leak ahead of the probe or a failing pump, and for the probe itself.',
      runs: [id],
    }),
  ]
}

function lambdaAbsent({ session, traces }: Evidence): Observation {
  return channelAbsent({
    channel: 'mixture channel',
    remedy: 'Record lambda with every run: a starving or lean engine is seen in time, and a lean side is no safe gain.',
    runs: session.used.filter((run) => ownLambda_1(run, traces) === null),
    evidence: 'repeat',
  })
}
