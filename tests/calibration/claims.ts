/** Claims that the studies make. */
import type { Claim } from '@fairpull/sdk/contract'
import type { Band } from './naive.ts'

/** The band that most studies claim for. */
export const claimedBand: Band = { from_rpm: 4000, to_rpm: 10_000 }

/** At least so much band-mean gain. */
export function bandMeanClaim(id: string, gain: Claim['gain'], band: Band = claimedBand): Claim {
  const over = {
    kind: 'band-mean',
    from: { value: band.from_rpm, unit: 'rpm' },
    to: { value: band.to_rpm, unit: 'rpm' },
  } as const
  return { id, quantity: 'wheel-power', over, relation: 'at-least', gain }
}

/** At least so much peak gain. */
export function peakClaim(id: string, gain: Claim['gain']): Claim {
  return { id, quantity: 'wheel-power', over: { kind: 'peak' }, relation: 'at-least', gain }
}

/** At least so much gain at one engine speed. */
export function atSpeedClaim(id: string, gain: Claim['gain'], speed_rpm: number): Claim {
  const over = { kind: 'at-speed', speed: { value: speed_rpm, unit: 'rpm' } } as const
  return { id, quantity: 'wheel-power', over, relation: 'at-least', gain }
}

/** A relative gain. */
export function percent(value: number): Claim['gain'] {
  return { value, unit: '%' }
}
