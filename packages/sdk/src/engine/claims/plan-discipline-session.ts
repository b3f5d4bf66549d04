/** Rules of the plan discipline about time and warmth. */
import type { PlanRuleReport } from '../../contract/plan.ts'
import { isOneSideFirst } from '../../contract/plan-order.ts'
import { ofSide, type Session, type SessionRun } from '../inputs/session.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { inLoggedOrder, type RuleInput, ruled } from './plan-discipline-rule.ts'

/** Clocks of rig and service may differ by so much. [s] Common practice, no source. */
const CLOCK_TOLERANCE_S = 300

/** All runs were made after the registration, and logged in the order they were made. */
export function oneSession({ plan, session }: RuleInput): PlanRuleReport {
  const runs = inLoggedOrder(session.runs, plan)
  const registered_s = Date.parse(plan.registeredAt) / 1000
  const received = new Map(plan.runs.map(({ run, receivedAt }) => [run, Date.parse(receivedAt) / 1000]))
  const timed = runs.flatMap((run) => (run.start_s === null ? [] : { id: run.id, start_s: run.start_s }))
  const early = timed.find(({ start_s }) => start_s < registered_s - CLOCK_TOLERANCE_S)
  const late = timed.find(({ id, start_s }) => start_s > (received.get(id) ?? 0) + CLOCK_TOLERANCE_S)
  const unordered = timed.find(
    ({ start_s }, index) => start_s <= (timed[index - 1]?.start_s ?? Number.NEGATIVE_INFINITY),
  )
  const fault =
    timed.length < runs.length
      ? 'The start time is not recorded for every run.'
      : early !== undefined
        ? `Run ${early.id} was made before the plan was registered.`
        : late !== undefined
          ? `Run ${late.id} was logged before its own start time.`
          : unordered !== undefined
            ? `Run ${unordered.id} was logged after a run that was made later.`
            : undefined
  return ruled('one-session', fault, 'All runs were made after the registration, in the order they were logged.')
}

/** Kelvin per √(1/n_A + 1/n_B). Source: measurement-model §10, rule 5. */
const TEMPERATURE_DIFFERENCE_K = 3

/** Where one side comes first, the engine was warmed up, or was as warm on both sides. */
export function warmOrMatched({ session, plan }: RuleInput): PlanRuleReport {
  const { used } = session
  const blocks = inLoggedOrder(used, plan).map(({ mounting, side }) => ({ mounting, side, runs: 1 }))
  if (!isOneSideFirst({ blocks })) {
    return ruled('warm-or-matched', undefined, 'The sides alternate, so a warming engine favours neither.')
  }
  const cold = [...new Set(used.map(({ mounting }) => mounting))].find((mounting) => warmingRuns(session, mounting) < 3)
  if (cold === undefined) {
    return ruled('warm-or-matched', undefined, 'At least 3 conditioning runs came first in every mounting.')
  }
  const difference_K = engineTemperatureDifference_K(used)
  const limit_K =
    TEMPERATURE_DIFFERENCE_K * Math.sqrt(1 / ofSide(used, 'baseline').length + 1 / ofSide(used, 'modified').length)
  const few = `Fewer than 3 conditioning runs came first in mounting ${cold}`
  if (difference_K === null) {
    return ruled(
      'warm-or-matched',
      `${few}, and the engine temperatures that could show it did not matter are missing.`,
      '',
    )
  }
  const seen = `${few}; the engine temperatures of the sides differ by ${difference_K.toFixed(1)} K`
  const isMatched = roundSignificant(difference_K) < roundSignificant(limit_K)
  const against = `${seen}, where ${limit_K.toFixed(1)} K are allowed.`
  return ruled('warm-or-matched', isMatched ? undefined : against, against)
}

function warmingRuns({ runs }: Session, mounting: string): number {
  const own = runs.filter((run) => run.mounting === mounting)
  const first = own.findIndex(({ wire }) => wire.purpose === 'measured')
  return own.slice(0, Math.max(0, first)).filter(({ wire }) => wire.purpose === 'conditioning').length
}

/** Difference of the side means of the coolant, else of the oil, at run start; null where neither is complete. [K] */
function engineTemperatureDifference_K(used: readonly SessionRun[]): number | null {
  const difference = (read: (run: SessionRun) => number | null): number | null => {
    const means = (['baseline', 'modified'] as const).map((side) => {
      const values = ofSide(used, side).map(read)
      return values.length === 0 || values.includes(null)
        ? null
        : values.reduce<number>((sum, value) => sum + (value ?? 0), 0) / values.length
    })
    const [baseline, modified] = means
    return baseline == null || modified == null ? null : Math.abs(modified - baseline)
  }
  return difference(({ conditions }) => conditions.coolant_K) ?? difference(({ conditions }) => conditions.oil_K)
}
