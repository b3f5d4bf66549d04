import type { GradedLimit, ProtocolCheck } from '../../contract/protocol.ts'
import type { Finding, FindingStatus, Severity } from '../../contract/result.ts'
import type { Evidence } from '../evidence/evidence.ts'
import type { SessionRun } from '../inputs/session.ts'
import { roundSignificant } from '../numerics/round-significant.ts'

/** What a check saw, before it is joined with the protocol's data into a finding. */
export interface Observation {
  /** What was found. */
  readonly status: FindingStatus
  /** The observed value, rounded before it met the limit; null where there is none. */
  readonly observed: number | string | null
  /** The limit that decided; null where there is none. */
  readonly limit: number | string | null
  /** Unit of both; empty for words. */
  readonly unit: string
  /** Runs concerned. */
  readonly runs: readonly string[]
  /** What was seen, in one sentence. */
  readonly sentence: string
  /** What to do, in one sentence; empty when met. */
  readonly remedy: string
  /** Where missing evidence can still come from. */
  readonly evidence: Finding['evidence']
  /** Weight in this comparison, where it differs from the protocol's. */
  readonly severity: Severity | null
  /** How near the value lies to the limit: 1 on it, more beyond; null for words. Of several, the nearest is told. */
  readonly closeness: number | null
}

/** A check: a pure function from the evidence and the protocol's rule to what was seen. It knows no other check. */
export interface Check {
  /** Name, as in the protocol. */
  readonly name: string
  /** What it compares, in one sentence. */
  readonly compares: string
  /** Every status it can give. A fixture of each, at the limit and one step either side, is asked of the tests. */
  readonly statuses: readonly FindingStatus[]
  /** Whether it can be decided from one run alone, between two pulls. Absent: no. */
  readonly isRunCheck?: boolean
  /** Members of the comparison that it compares, as `undeclared-differences` names them. Absent: none. */
  readonly owns?: readonly string[]
  /** Looks. Never throws on weak evidence. */
  readonly observe: (evidence: Evidence, rule: ProtocolCheck, owned: ReadonlySet<string>) => Observation
}

/** A check with its place in a protocol. */
export interface ProtocolRow {
  /** The check. */
  readonly check: Check
  /** Its severity, limits and their basis. */
  readonly rule: ProtocolCheck
  /** Members that a check of this protocol owns. */
  readonly owned: ReadonlySet<string>
}

/** Joins what a check saw with the protocol's data. */
export function findingOf({ check, rule, owned }: ProtocolRow, evidence: Evidence): Finding {
  const { severity, closeness: _, ...seen } = check.observe(evidence, rule, owned)
  return { check: check.name, ...seen, severity: severity ?? rule.severity, basis: rule.basis }
}

/** The named limit of a rule. A protocol without it is a fault of the protocol, found by its own test. */
export function limitOf(rule: ProtocolCheck, name: string): GradedLimit {
  const limit = rule.limits[name]
  if (limit === undefined) throw new RangeError(`protocol row ${rule.check} has no limit "${name}"`)
  return limit
}

/** What a number comes to against a limit. */
type Grade = 'met' | 'marginal' | 'breached'

/**
 * `met` up to the first bound, `marginal` up to the second, `breached` above; NaN is breached. Observed value and bounds
 * meet as they are printed, rounded to 6 significant digits.
 */
export function gradeAtMost(observed: number, limit: GradedLimit): Grade {
  const rounded = roundSignificant(observed)
  if (rounded <= roundSignificant(limit.met)) return 'met'
  return rounded <= roundSignificant(limit.marginal) ? 'marginal' : 'breached'
}

/** `met` from the first bound up, `marginal` from the second up, `breached` below; NaN is breached. Rounded alike. */
export function gradeAtLeast(observed: number, limit: GradedLimit): Grade {
  const rounded = roundSignificant(observed)
  if (rounded >= roundSignificant(limit.met)) return 'met'
  return rounded >= roundSignificant(limit.marginal) ? 'marginal' : 'breached'
}

/** Parts of an observation that a check need not repeat. */
type Words = Partial<Omit<Observation, 'status'>> & Pick<Observation, 'sentence'>

const NOTHING: Omit<Observation, 'status' | 'sentence'> = {
  observed: null,
  limit: null,
  unit: '',
  runs: [],
  remedy: '',
  evidence: null,
  severity: null,
  closeness: null,
}

/** An observation of any status. A number is rounded to 6 significant digits. */
export function observation(status: FindingStatus, words: Words): Observation {
  const whole = { ...NOTHING, ...words, status }
  return {
    ...whole,
    observed: typeof whole.observed === 'number' ? roundSignificant(whole.observed) : whole.observed,
    limit: typeof whole.limit === 'number' ? roundSignificant(whole.limit) : whole.limit,
    remedy: status === 'met' || status === 'not-applicable' ? '' : whole.remedy,
  }
}

/** What it takes to grade a number against a limit. */
interface Graded {
  readonly observed: number
  readonly limit: GradedLimit
  readonly sentence: string
  readonly remedy: string
  readonly runs: readonly string[]
  readonly severity?: Severity
}

/** An observation graded at most; the limit printed is the one that decided. */
export function graded(words: Graded): Observation {
  const status = gradeAtMost(words.observed, words.limit)
  return gradedAs(status, words, (observed, bound) => observed / bound)
}

/** An observation graded at least, of a number that must not be small; the limit printed is the one that decided. */
export function gradedAtLeast(words: Graded): Observation {
  const status = gradeAtLeast(words.observed, words.limit)
  return gradedAs(status, words, (observed, bound) => bound / observed)
}

function gradedAs(
  status: Grade,
  { observed, limit, sentence, remedy, runs, severity }: Graded,
  closeness: (observed: number, bound: number) => number,
): Observation {
  const isMet = status === 'met'
  const bound = isMet ? limit.met : limit.marginal
  return observation(status, {
    observed,
    limit: bound,
    unit: limit.unit,
    runs: isMet ? [] : runs,
    sentence,
    remedy,
    severity: severity ?? null,
    closeness: closeness(observed, bound),
  })
}

/** Evidence that is missing. */
export function notEvidenced(words: {
  readonly sentence: string
  readonly remedy: string
  readonly runs: readonly string[]
  readonly evidence: NonNullable<Finding['evidence']>
  readonly severity?: Severity
}): Observation {
  return observation('not-evidenced', { ...words, severity: words.severity ?? null })
}

/** Evidence that no channel carries. Another export may still supply a channel of a recorded run; one without any is made again. */
export function channelAbsent(words: {
  readonly channel: string
  readonly remedy: string
  readonly runs: readonly SessionRun[]
  readonly evidence?: NonNullable<Finding['evidence']>
}): Observation {
  const { channel, remedy, runs, evidence = 'from-records' } = words
  return notEvidenced({
    sentence: `Not checkable: ${channel} absent.`,
    remedy,
    runs: runs.map(({ id }) => id),
    evidence: runs.some(({ channels }) => channels !== null) ? evidence : 'repeat',
  })
}

const GRAVITY: readonly FindingStatus[] = ['not-applicable', 'met', 'not-evidenced', 'marginal', 'breached']

/** The gravest of several observations, of equals the one nearest to its limit; undefined of none. */
export function gravest(observations: readonly Observation[]): Observation | undefined {
  const near = ({ closeness }: Observation) => roundSignificant(closeness ?? 0)
  return observations.toSorted((a, b) => GRAVITY.indexOf(b.status) - GRAVITY.indexOf(a.status) || near(b) - near(a))[0]
}
