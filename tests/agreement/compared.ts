/** A result of the engine beside what the other implementation says of the same session. */
import type { ClaimJudgement, Gain, Result } from '@fairpull/sdk/contract'

/** What `numpy/judge.py` answers. */
export interface MethodAnswer {
  readonly not_assessable?: string
  readonly checks: {
    readonly 'returned-to-baseline': { readonly finding: string } | null
    readonly runs: Readonly<Record<string, Readonly<Record<string, { readonly finding: string } | undefined>>>>
  }
  readonly findings: readonly { readonly check: string }[]
  readonly plain: MethodAnalysis
  readonly conditional: Readonly<Record<string, MethodAnalysis>>
}

interface MethodAnalysis {
  readonly gains: readonly MethodGain[]
  readonly bands: readonly MethodBand[]
  readonly claims: readonly MethodClaim[]
}

interface MethodGain {
  readonly metric: string
  readonly unit: string
  readonly gain: number
  readonly interval: readonly number[] | null
  readonly as_mounted: readonly number[] | null
}

interface MethodBand {
  readonly unit: string
  readonly rpm: readonly number[]
  readonly gain: readonly number[]
  readonly band: readonly (readonly number[])[] | null
  readonly as_mounted_band: readonly (readonly number[])[] | null
}

interface MethodClaim {
  readonly adj_support: number
  readonly adj_contra: number
  readonly judgement: string
  readonly lo?: number
  readonly hi?: number
}

/** One thing that both say. */
export interface Compared {
  /** What it is, one row of the page. */
  readonly what: string
  readonly ours: unknown
  readonly theirs: unknown
  readonly agrees: boolean
}

/** Results print 6 significant digits; a figure near 0 is a difference of figures that do. */
const RELATIVE = 1e-5
const ABSOLUTE = 2e-5

function isNear(ours: number | null, theirs: number | null): boolean {
  if (ours === null || theirs === null) return ours === theirs
  return Math.abs(ours - theirs) <= RELATIVE * Math.abs(theirs) + ABSOLUTE
}

function figures(what: string, ours: readonly (number | null)[], theirs: readonly (number | null)[]): Compared {
  const agrees = ours.length === theirs.length && ours.every((value, i) => isNear(value, theirs[i] ?? null))
  return { what, ours, theirs, agrees }
}

function same(what: string, ours: unknown, theirs: unknown): Compared {
  return { what, ours, theirs, agrees: ours === theirs }
}

/** Detectors of the method, by the check that they are part of. */
const DETECTORS = {
  'outlier-free': 'outlier-free',
  'fuelling-sound': 'fuelling',
  'gear-matched': 'gear-matched',
  'speed-ratio-matched': 'tyre-or-strap',
  'processing-matched': 'smoothing',
  'no-duplicate-runs': 'no-duplicate-runs',
} as const

/** Checks that look at more than their detector does, and may fire alone: sample density, declared smoothing. */
const LOOKING_FURTHER: readonly string[] = ['processing-matched']

/**
 * Everything that both say of a session.
 *
 * Not compared where the protocol goes beyond the text: the intervals of the summary while the order of the runs is in doubt (the
 * engine takes the hull of both orders there too), and judgements while engine temperatures differ (the protocol leaves claims open
 * only where one side comes first).
 */
export function compared(result: Result, answer: MethodAnswer): readonly Compared[] {
  if (answer.not_assessable !== undefined) {
    const isOpen = result.claims.every(({ judgement }) => judgement === 'not-assessable' || judgement === 'undecided')
    return [same('no estimate', isOpen, true)]
  }
  const isInOrder = statusOf(result, 'order-coherent') === 'met'
  return [
    ...Object.entries(DETECTORS).map(([check, detector]) => detectorCompared(check, detector, result, answer)),
    same('speed-ratio-steady', statusOf(result, 'speed-ratio-steady'), worstOf(answer, 'speed-ratio-steady')),
    same(
      'whether two blocks of baseline can be compared',
      statusOf(result, 'returned-to-baseline') !== 'not-evidenced',
      (answer.checks['returned-to-baseline']?.finding ?? 'not-evidenced') !== 'not-evidenced',
    ),
    ...result.gains.corrected.flatMap((gain) => gainCompared(gain, answer.plain, isInOrder)),
    ...(isInOrder ? curveCompared(result, answer.plain) : []),
    ...result.claims.flatMap((claim, i) => claimCompared(claim, answer, i, result)),
  ]
}

function detectorCompared(check: string, detector: string, result: Result, { findings }: MethodAnswer): Compared {
  const ours = ['breached', 'marginal'].includes(statusOf(result, check))
  const theirs = findings.some((finding) => finding.check === detector)
  const mayFireAlone = ours && LOOKING_FURTHER.includes(check)
  return { what: `whether ${detector} fires`, ours, theirs, agrees: ours === theirs || mayFireAlone }
}

/** The gravest finding of any run. */
function worstOf({ checks }: MethodAnswer, check: string): string {
  const found = Object.values(checks.runs).flatMap((run) => run[check]?.finding ?? [])
  return ['breached', 'marginal', 'met'].find((finding) => found.includes(finding)) ?? 'absent'
}

function statusOf({ findings }: Result, check: string): string {
  return findings.find((finding) => finding.check === check)?.status ?? 'absent'
}

/** Peaks, relative: band means stand in the claims. */
function gainCompared({ of, relative, asMounted }: Gain, { gains }: MethodAnalysis, isInOrder: boolean): Compared[] {
  if (of.kind !== 'peak') return []
  const metric = of.quantity === 'wheel-power' ? 'peak_power' : 'peak_torque'
  const theirs = gains.find((gain) => gain.metric === metric && gain.unit === '%')
  if (theirs === undefined) return [same('gains of the peaks', relative.estimate, null)]
  const none = [null, null]
  return [
    figures('gains of the peaks', [relative.estimate], [theirs.gain]),
    figures(
      'as-mounted intervals of the peaks',
      [asMounted?.low ?? null, asMounted?.high ?? null],
      theirs.as_mounted ?? none,
    ),
    ...(isInOrder ? [figures('intervals of the peaks', [relative.low, relative.high], theirs.interval ?? none)] : []),
  ]
}

function curveCompared({ gains }: Result, { bands }: MethodAnalysis): Compared[] {
  const { curve } = gains
  const theirs = bands.find(({ unit }) => unit === '%')
  if (curve === null || theirs === undefined) return [same('gain curves', curve, theirs ?? null)]
  const [low, high] = theirs.band ?? theirs.as_mounted_band ?? [[], []]
  const { simultaneous } = curve
  return [
    figures(
      'gain curves, every point',
      [...curve.engineSpeed_rpm, ...curve.gain_percent],
      [...theirs.rpm, ...theirs.gain],
    ),
    figures(
      'simultaneous bands, every point',
      [...(simultaneous?.low ?? []), ...(simultaneous?.high ?? [])],
      [...(low ?? []), ...(high ?? [])],
    ),
  ]
}

function claimCompared(claim: ClaimJudgement, answer: MethodAnswer, i: number, result: Result): Compared[] {
  const theirs = answer.plain.claims[i]
  if (theirs === undefined) return [same('claims', claim.claim, null)]
  const { conditional, interval } = claim
  const onAssumed = conditional === null ? undefined : answer.conditional[conditional.on]?.claims[i]
  const isJudged = result.standing !== 'invalid' && statusOf(result, 'engine-temperature-matched') === 'met'
  return [
    figures(
      'adjusted p of the claims',
      [claim.supportP, claim.contradictionP],
      [theirs.adj_support, theirs.adj_contra],
    ),
    ...(theirs.lo === undefined
      ? []
      : [figures('intervals of the claims', [interval.low, interval.high], [theirs.lo, theirs.hi ?? null])]),
    ...(isJudged ? [same('judgements', claim.judgement, theirs.judgement)] : []),
    ...(conditional === null || onAssumed?.lo === undefined
      ? []
      : [
          figures(
            'intervals on assumed values',
            [conditional.interval.low, conditional.interval.high],
            [onAssumed.lo, onAssumed.hi ?? null],
          ),
        ]),
    ...(isJudged && conditional !== null
      ? [same('judgements on assumed values', conditional.judgement, onAssumed?.judgement)]
      : []),
  ]
}
