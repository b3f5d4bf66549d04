import type { Side } from '../../contract/index.ts'

/** Something that goes wrong in a session. Each can be on its own or with others. */
export type Fault =
  /** The modified side runs in another gear; the operator writes it down or not. */
  | { readonly kind: 'gear'; readonly gear: number; readonly isDeclared: boolean }
  /** The figures of the modified side carry a factor that does not follow from the air. */
  | { readonly kind: 'wrong-factor'; readonly deviation_1: number }
  /** The modified side breathes warmer air than the cell's. */
  | { readonly kind: 'intake-air'; readonly excess_K: number }
  /** The last run is an earlier one of its side again, rescaled and with fresh noise. */
  | { readonly kind: 'duplicate'; readonly rescale_1: number; readonly noise_1: number }
  /** Two neighbouring runs have their start times exchanged. */
  | { readonly kind: 'order' }
  /** The last run of the modified side ends early. */
  | { readonly kind: 'clipped'; readonly by_rpm: number }
  /** Numbers of the rig's counter that nobody speaks of. */
  | { readonly kind: 'unaccounted'; readonly runs: number }
  /** The modified side has another drive-tyre pressure; the operator writes it down or not. */
  | { readonly kind: 'tyre-pressure'; readonly ratio_1: number; readonly isDeclared: boolean }
  /** The modified side is strapped down harder; the operator writes it down or not. */
  | { readonly kind: 'strap'; readonly extra_N: number; readonly isDeclared: boolean }
  /** The last run of the modified side starves at the top; the lambda channel shows it or is absent. */
  | {
      readonly kind: 'starvation'
      readonly loss_1: number
      readonly lambdaRise_1: number
      readonly hasLambda: boolean
    }
  /** The modified side is exported with a Gaussian smoothing that nobody mentions. */
  | { readonly kind: 'smoothing'; readonly sd_rpm: number }
  /** The modified side starts hotter and loses power to it. */
  | { readonly kind: 'heat-soak'; readonly difference_K: number; readonly lossPerKelvin_1: number }
  /** Something was not recorded. */
  | { readonly kind: 'missing'; readonly what: MissingEvidence; readonly side: Side | 'both' }

/** What may have been left out of the records. */
export type MissingEvidence =
  | 'air'
  | 'engine-temperature'
  | 'tyre-pressure'
  | 'gear'
  | 'start-times'
  | 'counters'
  | 'mountings'
  | 'fuel'
  | 'mixture'
  | 'roller-speed'

/** Names of all faults. */
export type FaultKind = Fault['kind']

/** One fault of each kind, of a size that an operator meets. Sizes assumed, no source. */
export const ordinaryFaults = {
  gear: { kind: 'gear', gear: 4, isDeclared: false },
  'gear-declared': { kind: 'gear', gear: 4, isDeclared: true },
  'wrong-factor': { kind: 'wrong-factor', deviation_1: 0.02 },
  'intake-air': { kind: 'intake-air', excess_K: 14 },
  duplicate: { kind: 'duplicate', rescale_1: 1.01, noise_1: 0.0002 },
  order: { kind: 'order' },
  clipped: { kind: 'clipped', by_rpm: 1500 },
  unaccounted: { kind: 'unaccounted', runs: 2 },
  'tyre-pressure': { kind: 'tyre-pressure', ratio_1: 0.5, isDeclared: false },
  'tyre-pressure-declared': { kind: 'tyre-pressure', ratio_1: 0.5, isDeclared: true },
  strap: { kind: 'strap', extra_N: 600, isDeclared: false },
  'strap-declared': { kind: 'strap', extra_N: 600, isDeclared: true },
  'starvation-with-lambda': { kind: 'starvation', loss_1: 0.05, lambdaRise_1: 0.1, hasLambda: true },
  'starvation-without-lambda': { kind: 'starvation', loss_1: 0.05, lambdaRise_1: 0.1, hasLambda: false },
  smoothing: { kind: 'smoothing', sd_rpm: 300 },
  'heat-soak': { kind: 'heat-soak', difference_K: 12, lossPerKelvin_1: 0.0015 },
} as const satisfies Readonly<Record<string, Fault>>

/** Name of an ordinary fault. */
export type OrdinaryFaultName = keyof typeof ordinaryFaults
