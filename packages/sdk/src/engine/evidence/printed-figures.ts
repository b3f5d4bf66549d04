import type { Session, SessionRun } from '../inputs/session.ts'
import type { Allowance } from '../statistics/allowance.ts'
import { bestOfShift, UNKNOWN_BEST_OF } from '../statistics/best-of.ts'
import type { FigureSubject } from '../statistics/figure.ts'

/** What a printed peak is of. */
export type PeakQuantity = FigureSubject['quantity']

/** Of how many runs the printed figure of a side is the best; null where nobody says. */
export interface BestOf {
  /** Fewest that it may be. [1] */
  readonly fewest: number
  /** Most that are counted. [1] */
  readonly most: number
  /** Whether somebody says so. */
  readonly isStated: boolean
}

/**
 * Of how many runs the printed figures of a side are the best: as stated, else between 1 and 3.
 *
 * @param session the session.
 * @param side of the comparison.
 * @returns the counts; null where the side has no figure that was only printed. Pure; never throws.
 */
export function bestOfSide({ used }: Session, side: SessionRun['side']): BestOf | null {
  const printed = used.filter((run) => run.side === side && run.channels === null)
  if (printed.length === 0) return null
  const counts = printed.map(({ wire }) => wire.reported?.bestOf)
  return {
    fewest: Math.min(...counts.map((count) => count ?? 1)),
    most: Math.max(...counts.map((count) => count ?? UNKNOWN_BEST_OF)),
    isStated: !counts.includes(undefined),
  }
}

/**
 * Largest half step of a last printed digit, as a share of the figure.
 *
 * @param session the session.
 * @param quantity whose peak is printed.
 * @returns the share. [1]; null where no printed figure states its resolution. Pure; never throws.
 */
export function halfPrintedDigit_1({ used }: Session, quantity: PeakQuantity): number | null {
  const halves = used.flatMap(({ wire, channels }) => {
    const { peakPower, resolution, peakTorque, torqueResolution } = wire.reported ?? {}
    const [peak, step] = quantity === 'power' ? [peakPower, resolution] : [peakTorque, torqueResolution]
    return channels !== null || peak === undefined || step === undefined ? [] : [step / 2 / peak.value]
  })
  return halves.length === 0 ? null : Math.max(...halves)
}

/**
 * What printed figures leave open beside their scatter: the lead of the best of several runs, and half a digit on each side.
 *
 * down = max(0, lead of the modified side at its most − lead of the baseline at its fewest) + digits; up with the sides
 * exchanged. Lead = expected best of k normal runs, 0.56, 0.85, 1.03, 1.16, 1.27 standard deviations for k = 2 … 6.
 *
 * @param session the session.
 * @param quantity whose peak is printed; power and torque of one run are the best of as many.
 * @param repeatRelSd relative run-to-run standard deviation of one run. [1]
 * @returns the room on either side. [1] Pure; never throws. Tested: tests/engine/printed-figures.test.ts.
 */
export function printedAllowance(session: Session, quantity: PeakQuantity, repeatRelSd: number): Allowance {
  const [baseline, modified] = [bestOfSide(session, 'baseline'), bestOfSide(session, 'modified')]
  const most = (side: BestOf | null) => (side === null ? 0 : bestOfShift(side.most))
  const fewest = (side: BestOf | null) => (side === null ? 0 : bestOfShift(side.fewest))
  const digits = 2 * (halfPrintedDigit_1(session, quantity) ?? 0)
  return {
    down: Math.max(0, most(modified) - fewest(baseline)) * repeatRelSd + digits,
    up: Math.max(0, most(baseline) - fewest(modified)) * repeatRelSd + digits,
  }
}
