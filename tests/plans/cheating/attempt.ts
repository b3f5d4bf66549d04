/** What a strategy is, and what several of them share. */
import type { Comparison } from '@fairpull/sdk/contract'
import type { SimulatedSession } from '@fairpull/sdk/testing'
import { LEAST_GAIN } from '../../calibration/cheating/null-product.ts'
import { bandMeanClaim } from '../../calibration/claims.ts'
import { type Ending, type Vendor, withIssuedRecord } from './vendor.ts'

/** A way to cheat, or not to, at the register. */
export interface RegisterStrategy {
  /** Name. */
  readonly id: string
  /** What the vendor does. */
  readonly does: string
  /** What stops it; null where nothing can, and the figure is reported. */
  readonly stoppedBy: string | null
  /** Strategy of the calibration whose naive figures stand beside it. */
  readonly beside: string
  /** One product. */
  readonly play: (vendor: Vendor) => Promise<Ending>
}

/** The session's document under a record that the register issued. */
export function issued({ seed }: Vendor, session: SimulatedSession, label = 'own'): Comparison {
  return withIssuedRecord(session.comparison, session.comparison, `study ${seed} ${label}`)
}

/** The first attempt that is supported, else the last one. */
export async function best(attempts: readonly (() => Promise<Ending>)[]): Promise<Ending> {
  let ending: Ending = { isSupported: false, broken: [] }
  for (const attempt of attempts) {
    ending = await attempt()
    if (ending.isSupported) return ending
  }
  return ending
}

/** Bands that a vendor may look at. */
export const BANDS = Array.from({ length: 40 }, (_, k) => {
  const width_rpm = 1000 + 500 * (k % 5)
  const from_rpm = 3500 + 700 * Math.floor(k / 5)
  return { from_rpm, to_rpm: Math.min(from_rpm + width_rpm, 11_000) }
})

/** A claim for every band, to be made afterwards. */
export const bandClaims = BANDS.map((band, k) => bandMeanClaim(`band ${k}`, LEAST_GAIN, band))
