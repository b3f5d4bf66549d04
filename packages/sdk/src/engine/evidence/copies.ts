import type { Session, SessionRun } from '../inputs/session.ts'
import { duplicateRuns } from '../statistics/detectors/duplicate-runs.ts'
import type { ComparedSession } from './compared-session.ts'
import type { Traces } from './trace.ts'

/** A run that is another run once more. */
export interface DroppedCopy {
  /** The later run, which is dropped. */
  readonly run: SessionRun
  /** The earlier run, which stays. */
  readonly of: SessionRun
  /** How it shows: the same numbers, or a curve nearer to the other than two recordings can be. */
  readonly by: 'same-numbers' | 'same-shape'
  /** Distance of both curves in honest noise, 0 for the same numbers; and the limit it fell below. [1] */
  readonly distance: number
  readonly limit: number
}

/**
 * The runs of a session that are copies of earlier ones: byte for byte, or shifted, rescaled or re-noised.
 *
 * @param session the session.
 * @param traces of its runs.
 * @param compared its curves; null where there are none on a common grid, and only equal numbers can be told.
 * @returns one entry per copy, in run order, each with the first run that it copies. Pure; never throws.
 *
 * Source: measurement-model §8, no-duplicate-runs.
 */
export function copiesIn(session: Session, traces: Traces, compared: ComparedSession | null): readonly DroppedCopy[] {
  const found = [...sameNumbers(session.used, traces), ...sameShapes(session.used, compared)]
  return session.used.flatMap((run) => found.find((copy) => copy.run === run) ?? [])
}

function sameNumbers(used: readonly SessionRun[], traces: Traces): DroppedCopy[] {
  const byEnds = new Map<string, SessionRun[]>()
  return used.flatMap((run): DroppedCopy[] => {
    const key = fingerprint(run, traces)
    if (key === null) return []
    const alike = byEnds.get(key) ?? []
    byEnds.set(key, [...alike, run])
    const of = alike.find((earlier) => hasSameNumbers(earlier, run, traces))
    return of === undefined ? [] : [{ run, of, by: 'same-numbers', distance: 0, limit: 0 }]
  })
}

/** What equal recordings have in common, so that few pairs are compared value by value. */
function fingerprint(run: SessionRun, traces: Traces): string | null {
  const curve = traces.get(run)?.curve
  if (curve == null || curve.power.length < 2) return null
  return `${curve.power.length} ${curve.engineSpeed_rpm[0]} ${curve.power[0]} ${curve.power.at(-1)}`
}

function hasSameNumbers(a: SessionRun, b: SessionRun, traces: Traces): boolean {
  const [first, second] = [traces.get(a)?.columns, traces.get(b)?.columns]
  return (
    isSame(first?.power_W ?? null, second?.power_W ?? null) &&
    isSame(first?.engineSpeed_rpm ?? null, second?.engineSpeed_rpm ?? null)
  )
}

function isSame(a: Float64Array | null, b: Float64Array | null): boolean {
  return a !== null && b !== null && a.length === b.length && a.every((value, i) => value === b[i])
}

function sameShapes(used: readonly SessionRun[], compared: ComparedSession | null): DroppedCopy[] {
  if (compared === null) return []
  return duplicateRuns(compared.curves, compared.scale).flatMap(({ runs: [first, second], observed, limit }) => {
    const [of, run] = [used[first ?? -1], used[second ?? -1]]
    return of === undefined || run === undefined ? [] : [{ run, of, by: 'same-shape', distance: observed, limit }]
  })
}

/**
 * The session without its copies: they have no place in it, not even in the sequence.
 *
 * @param session the session.
 * @param copies to drop.
 * @returns the session; its runs still hold every run, for the accounting.
 */
export function withoutCopies(session: Session, copies: readonly DroppedCopy[]): Session {
  const dropped = new Set(copies.map(({ run }) => run))
  return { ...session, dropped, used: session.used.filter((run) => !dropped.has(run)) }
}
