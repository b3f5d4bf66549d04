import { firstFall } from '../inputs/order.ts'
import type { Session, SessionRun } from '../inputs/session.ts'
import { driftCovariate } from '../statistics/drift-covariate.ts'
import { type DriftModels, restartedCovariate } from '../statistics/drift-models.ts'
import type { FacilityFigures } from '../statistics/facility-record.ts'
import type { SessionInput } from '../statistics/session-input.ts'
import type { SessionCorrection } from './correction.ts'
import { sideIndex } from './curves.ts'

/** Conditioning runs that rule out a warm-up trend in a mounting. Source: measurement-model §3.4. */
const ENOUGH_CONDITIONING = 3

/**
 * What every fit of a session shares: sides, mountings, days, factors and the facility's own record.
 *
 * @param session the session.
 * @param correction how its figures are brought to one correction.
 * @param record the facility's own figures.
 * @returns the shared input. Pure; never throws. Source: measurement-model §1.
 */
export function sessionInput(
  session: Session,
  correction: SessionCorrection,
  record: FacilityFigures | null,
): SessionInput {
  return {
    sides: session.used.map(sideIndex),
    mountings: session.used.map(({ mounting }) => mounting),
    factors: correction.factors,
    days: daysOf(session.used),
    record,
    hasWarmUpTerm: mayWarmUp(session),
    isOrderKnown: session.orderBasis !== 'side-blocks',
  }
}

/** Day of each run; a run without one gets a day of its own kind where the others differ. Null where all share one. */
function daysOf(used: readonly SessionRun[]): readonly string[] | null {
  const known = new Set(used.flatMap(({ day }) => day ?? []))
  return known.size < 2 ? null : used.map(({ day }) => day ?? '(missing)')
}

/** Whether neither conditioning nor engine temperature rules out a warm-up trend. */
function mayWarmUp({ runs, used }: Session): boolean {
  const lacksTemperature =
    used.some(({ conditions }) => conditions.coolant_K === null) &&
    used.some(({ conditions }) => conditions.oil_K === null)
  const conditioning = (mounting: string) =>
    runs.filter(({ wire, mounting: own }) => own === mounting && wire.purpose === 'conditioning').length
  return lacksTemperature && used.some(({ mounting }) => conditioning(mounting) < ENOUGH_CONDITIONING)
}

/**
 * The drift models of a session. Measured runs that are excluded keep their place; others and dropped copies have none.
 *
 * @param session the session.
 * @returns one covariate per used run and model. Source: measurement-model §1, §7, §8.
 */
export function driftModelsOf(session: Session): DriftModels {
  const measured = session.runs.filter((run) => run.wire.purpose === 'measured' && !session.dropped.has(run))
  return {
    ...modelsInOrder(measured, session.used),
    byClock:
      firstFall(measured, ({ start_s }) => start_s) !== null
        ? { ...modelsInOrder(sortedByStart(measured), session.used), byClock: null }
        : null,
  }
}

function modelsInOrder(order: readonly SessionRun[], used: readonly SessionRun[]): Omit<DriftModels, 'byClock'> {
  const session = covariateOf(order, used)
  const mountings = used.map(({ mounting }) => mounting)
  return { session, restarted: restartedCovariate(session, used.map(sideIndex), mountings) }
}

function covariateOf(order: readonly SessionRun[], used: readonly SessionRun[]): Float64Array {
  const t = driftCovariate(order)
  const places = new Map(order.map((run, index) => [run, t[index] ?? 0]))
  return Float64Array.from(used, (run) => places.get(run) ?? 0)
}

/** The runs by start time; one without goes with the run ahead of it, so that leaving a time out hides no disorder. */
function sortedByStart(measured: readonly SessionRun[]): readonly SessionRun[] {
  let last_s = Number.NEGATIVE_INFINITY
  const timed = measured.map((run) => {
    last_s = run.start_s ?? last_s
    return { run, start_s: last_s }
  })
  return timed.toSorted((a, b) => (a.start_s < b.start_s ? -1 : Number(a.start_s > b.start_s))).map(({ run }) => run)
}
