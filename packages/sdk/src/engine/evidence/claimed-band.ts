import type { Session } from '../inputs/session.ts'
import { rpmOf } from './subject.ts'

/** A range of engine speeds. */
export interface ClaimedBand {
  /** Lowest engine speed that a claim names. [rpm] */
  readonly from_rpm: number
  /** Highest engine speed that a claim names. [rpm] */
  readonly to_rpm: number
}

/**
 * The engine speeds that the claims speak of, from the lowest to the highest.
 *
 * @param session the session.
 * @returns the band; null where no claim names an engine speed. Pure; never throws.
 */
export function claimedBandOf({ comparison }: Session): ClaimedBand | null {
  const speeds = (comparison.claims ?? []).flatMap(({ over }) => {
    if (over.kind === 'peak') return []
    return over.kind === 'at-speed' ? [rpmOf(over.speed)] : [rpmOf(over.from), rpmOf(over.to)]
  })
  return speeds.length === 0 ? null : { from_rpm: Math.min(...speeds), to_rpm: Math.max(...speeds) }
}
