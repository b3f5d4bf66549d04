import type { CorrectionId } from '../../contract/corrections.ts'
import type { AssumedValues, Protocol } from '../../contract/protocol.ts'
import type { OtherCause } from '../../contract/result.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { bestOfSide, halfPrintedDigit_1, type PeakQuantity } from '../evidence/printed-figures.ts'
import { isHearsay } from '../inputs/hearsay.ts'
import { type Session, type SessionRun, vehicleOf } from '../inputs/session.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { correctionFactor } from '../physics/correction/correction-factor.ts'
import { bestOfShift, UNKNOWN_BEST_OF } from '../statistics/best-of.ts'

/** Correction standards that a spark-ignition figure may have been printed in. */
const SPARK_STANDARDS: readonly CorrectionId[] = ['un-r85', 'eu-134-2014', 'sae-j1349-jun90', 'sae-j607', 'din-70020']

/** Those that one of a compression-ignition engine may, beside them: rigs apply the spark-ignition ones to any engine. */
const COMPRESSION_STANDARDS: readonly CorrectionId[] = [
  'un-r85-ci-natural',
  'un-r85-ci-turbocharged',
  'iso-1585-ci-natural',
  'iso-1585-ci-turbocharged-air',
  'iso-1585-ci-turbocharged-liquid',
]

/** Fuel deliveries on either side of both knees of the engine factor; nobody publishes the own one. [mg/(l cycle)] */
const FUEL_DELIVERIES = [30, 70] as const

/** Air that the standards are compared at: warm, near sea level. */
const COMMON_AIR = { stationPressure_Pa: 99_000, airTemperature_K: 298.15, relativeHumidity_1: 0.5 }

/** 95 % of the differences of two draws lie within this many standard deviations of one. [1] */
const DIFFERENCE_95 = 1.959964 * Math.SQRT2

/** Largest gain that smoothing one side over 300 and the other over 75 rpm feigned. [%] Source: measurement-model §6. */
const SMOOTHING_PERCENT = 2.7

/** Gain that half the drive-tyre pressure hid or feigned. [%] Source: measurement-model §8. */
const TYRE_PERCENT = 1

/**
 * What could account for a published difference on its own, with the size of each and what the size rests on.
 *
 * Only for figures that were reported or read from a chart, and only what the evidence leaves open: two sides declared in one
 * standard cannot differ by another.
 *
 * @param evidence the evidence.
 * @param protocol for the cautious values.
 * @returns the causes, the largest first; empty where every run was recorded. Pure; never throws.
 */
export function otherCausesOf({ session, headline }: Evidence, { assumed }: Protocol): readonly OtherCause[] {
  if (headline === null || !session.used.some(isHearsay)) return []
  const gain_percent = Math.abs(100 * Math.expm1(headline.fit.estimate))
  const causes = [
    correctionCause(session),
    smoothingCause(session),
    mountingCause(session, assumed.cautious),
    dayCause(session, assumed.cautious),
    bestOfCause(session, assumed.cautious),
    tyreCause(session),
    digitCause(session, headline.subject.quantity),
  ]
  return causes
    .flatMap((cause) => cause ?? [])
    .map((cause) => ({ ...cause, size_percent: roundSignificant(cause.size_percent) }))
    .toSorted((a, b) => b.size_percent - a.size_percent)
    .map((cause) => ({ ...cause, isEnough: cause.size_percent >= roundSignificant(gain_percent) }))
}

type Sized = Omit<OtherCause, 'isEnough'>

/** Whether all runs say the same of themselves; silence is no agreement. */
function isOneFor({ used }: Session, read: (run: SessionRun) => string | null | undefined): boolean {
  const values = new Set(used.map(read))
  return values.size === 1 && !values.has(undefined) && !values.has(null)
}

function correctionCause(session: Session): Sized | null {
  if (isOneFor(session, ({ processing }) => processing.correction)) return null
  const isCompression = session.used.some((run) => vehicleOf(session, run)?.engine?.ignition === 'compression')
  const standards = isCompression ? [...SPARK_STANDARDS, ...COMPRESSION_STANDARDS] : SPARK_STANDARDS
  const factors = standards.flatMap((standard) =>
    FUEL_DELIVERIES.flatMap((fuelDelivery_mg_per_l_cycle) => {
      const correction = correctionFactor(standard, { ...COMMON_AIR, fuelDelivery_mg_per_l_cycle })
      return correction.kind === 'refused' ? [] : [correction.factor]
    }),
  )
  return {
    cause: 'another-correction',
    size_percent: 100 * (Math.max(...factors) / Math.min(...factors) - 1),
    sentence: 'The sides may be printed in two correction standards.',
    basis: `computed: largest against smallest factor of ${standards.join(', ')} at 99 kPa, 25 °C, 50 % humidity`,
  }
}

function smoothingCause(session: Session): Sized | null {
  const smoothing = ({ processing }: SessionRun) =>
    processing.smoothing === undefined ? null : JSON.stringify(processing.smoothing)
  if (isOneFor(session, smoothing)) return null
  return {
    cause: 'smoothing',
    size_percent: SMOOTHING_PERCENT,
    sentence: 'One side may be smoothed more than the other, which lowers its peak.',
    basis: 'measurement-model §6: 300 against 75 rpm, simulated',
  }
}

function mountingCause(session: Session, { remounting }: AssumedValues): Sized | null {
  if (session.used.every(({ isMountingKnown }) => isMountingKnown) && isOneFor(session, ({ mounting }) => mounting))
    return null
  return {
    cause: 're-strapping',
    size_percent: 100 * DIFFERENCE_95 * remounting,
    sentence: 'The machine may have been strapped down again between the sides.',
    basis: `95 % of differences between two strappings at a standard deviation of ${percentText(remounting)}, assumed, no source`,
  }
}

function dayCause(session: Session, { day }: AssumedValues): Sized | null {
  if (isOneFor(session, (run) => run.day)) return null
  return {
    cause: 'day',
    size_percent: 100 * DIFFERENCE_95 * day,
    sentence: 'The sides may have been measured on two days.',
    basis: `95 % of differences between two days at a standard deviation of ${percentText(day)}, assumed, no source`,
  }
}

/** The modified side as the best of its k; the baseline gets the benefit only of a k that somebody states. */
function bestOfCause(session: Session, { repeatability }: AssumedValues): Sized | null {
  const modified = bestOfSide(session, 'modified')
  if (modified === null) return null
  const k = modified.most
  const baseline = Math.min(bestOfSide(session, 'baseline')?.fewest ?? k, k)
  const shift = bestOfShift(k) - bestOfShift(baseline)
  if (!(shift > 0)) return null
  return {
    cause: 'best-of-several',
    size_percent: 100 * shift * repeatability,
    sentence: modified.isStated
      ? `The published run is the best of ${k}, its baseline of ${baseline}.`
      : `The published run may be the best of several; nobody says of how many, so ${UNKNOWN_BEST_OF} are counted.`,
    basis: `expected lead of the best of ${k} over ${baseline === 1 ? 'one run' : `the best of ${baseline}`} at a run-to-run standard deviation of ${percentText(repeatability)}, assumed, no source`,
  }
}

function tyreCause({ used }: Session): Sized | null {
  if (used.every(({ setup }) => setup.tyrePressure !== undefined)) return null
  return {
    cause: 'tyre-pressure',
    size_percent: TYRE_PERCENT,
    sentence: 'The drive tyre may have run at another pressure.',
    basis: 'measurement-model §8: half the drive-tyre pressure, computed',
  }
}

/** Half a printed digit on either side. */
function digitCause(session: Session, quantity: PeakQuantity): Sized | null {
  const half_1 = halfPrintedDigit_1(session, quantity)
  if (half_1 === null) return null
  return {
    cause: 'printed-digit',
    size_percent: 100 * half_1 * 2,
    sentence: 'The figures are rounded to their last printed digit.',
    basis: 'half a step of the last digit on each side',
  }
}

function percentText(fraction: number): string {
  return `${Number((100 * fraction).toPrecision(3))} %`
}
