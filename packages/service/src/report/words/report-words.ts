/** Texts of the report page and of the badge. Kept apart for translation: the sections hold no words of their own. */
import type {
  BudgetTerm,
  Finding,
  GainSubject,
  Issue,
  Judgement,
  NextStep,
  Result,
  Standing,
} from '@fairpull/sdk/contract'
import { printed, rpm } from '../numbers.ts'

/** Who may read a summary. */
export type PublicationState = 'private' | 'published' | 'withdrawn'

/** Texts of the report, English. */
export const reportWords = {
  language: 'en',
  heading: 'Test report: before/after comparison on a roller dynamometer',
  title: (id: string) => `Test report ${id}`,
  standing: {
    valid: 'Valid: the two sides can be compared',
    limited: 'Limited: the comparison holds only within the limits below',
    invalid: 'Invalid: the two sides cannot be compared',
  } satisfies Record<Standing, string>,
  standingWord: { valid: 'valid', limited: 'limited', invalid: 'invalid' } satisfies Record<Standing, string>,
  withdrawn: 'Withdrawn',
  withdrawnSentence:
    'Whoever submitted this comparison has withdrawn it. It is kept so that what was once published stays on record; do not rely on it.',
  privateSentence: 'Not published: for the eyes of those who submitted it.',
  moreLimits: (count: number) => `and ${count} more limits, all listed below`,
  score: (score: number) => `${score} of 100`,
  scoreLine: (score: string, protocol: string, registration: string) =>
    `Score ${score} by protocol ${protocol}; ${registration}.`,
  sections: {
    gain: 'Gain',
    difference: 'Difference between the sides',
    curve: 'Over engine speed',
    claims: 'Claims',
    scope: 'Limits of this comparison',
    plan: 'Plan',
    otherCauses: 'What could account for this difference on its own',
    findings: 'What was checked',
    nextSteps: 'What to do next',
    budget: 'Uncertainty budget',
    accounting: 'What became of the runs',
    conditions: 'Test item, facility and conditions',
    method: 'Identity, method and versions',
    cautions: 'Safety',
    limits: 'What this report does not show',
    verify: 'How to check this report',
    figures: 'The figures behind the chart',
  },
  skip: 'To the gain',
  interval: (range: string) => `95 % interval ${range}`,
  noInterval: 'no interval',
  noEstimate: 'no estimate',
  subject,
  levels: (baseline: string, modified: string, difference: string, unit: string) =>
    `from ${baseline} to ${modified} ${unit}${difference === '' ? '' : ` (${difference} ${unit})`}`,
  asMounted: (range: string) => `For these mountings only: ${range}.`,
  twoDriftModels: 'Two ways the drift may have gone were reckoned; the interval holds for both.',
  assumed: {
    typical: 'If this rig repeated like an ordinary one, which nobody measured',
    cautious: 'If this rig repeated like one of which nothing is known',
    network: 'If this rig repeated like other rigs on record',
  },
  causeSize: (percent: string, isEnough: boolean) => `${percent} %${isEnough ? ', all of it' : ''}`,
  alternatives: 'The same gain with other runs',
  notAGain: 'The two sides cannot be compared, so none of this is a gain.',
  uncorrected: (value: string) => `uncorrected ${value}`,
  columns: {
    quantity: 'Quantity',
    gain: 'Gain',
    difference: 'Difference',
    interval: '95 % interval',
    baseline: 'Baseline',
    modified: 'Modified',
    term: 'Source',
    type: 'Type',
    uncertainty: 'Standard uncertainty',
    freedom: 'Degrees of freedom',
    share: 'Share of variance',
    basis: 'Known from',
    run: 'Run',
    side: 'Side',
    why: 'Why',
    speed: 'Engine speed',
    pointwise: '95 % at this speed',
    simultaneous: '95 % for the whole curve',
  },
  place: {
    wheel: 'Power at the wheel',
    'crankshaft-estimated': 'Power at the crankshaft, estimated',
    'not-recorded': 'Power at the wheel or at the crankshaft, not recorded which',
  } satisfies Record<Result['gains']['measuredAt'], string>,
  judgement: {
    supported: 'Supported',
    contradicted: 'Contradicted',
    undecided: 'Undecided',
    'not-assessable': 'Not assessable',
  } satisfies Record<Judgement, string>,
  extremes: (low: string, lowAt: number, high: string, highAt: number) =>
    `Smallest gain in the range ${low} at ${rpm(lowAt)}, largest ${high} at ${rpm(highAt)}.`,
  planProduct: 'Product as registered',
  planId: 'Identity of the plan',
  planAttempt: 'Plans for this product and machine',
  attempt: (number: number, of: number) => `this is number ${number} of ${of}`,
  planLevel: 'Level of the judgements, one-sided',
  ruleKept: (isKept: boolean) => (isKept ? 'kept' : 'not kept'),
  noClaims: 'Nothing was claimed.',
  status: {
    met: 'met',
    marginal: 'marginal',
    breached: 'breached',
    'not-evidenced': 'no evidence',
    'not-applicable': 'does not apply',
  } satisfies Record<Finding['status'], string>,
  weight: {
    gate: 'breaks the comparison',
    'run-level': 'breaks the comparison while the run is used',
    scope: 'limits what can be said',
    note: 'for the record',
  } satisfies Record<Finding['severity'], string>,
  observed: (observed: string, limit: string) => (limit === '' ? observed : `${observed}, limit ${limit}`),
  runsConcerned: (runs: readonly string[]) => `Runs ${runs.join(', ')}.`,
  remedy: 'Remedy:',
  basis: (text: string) => `Basis of the limit: ${text}.`,
  where: {
    'from-records': 'Your notes can still supply it.',
    repeat: 'It takes the rollers again.',
  },
  met: (count: number) => `${count === 1 ? '1 check' : `${count} checks`} met`,
  notApplicable: (checks: readonly string[]) => `Do not apply here: ${checks.join(', ')}.`,
  findingCounts: (counts: readonly (readonly [Finding['status'], number])[]) =>
    `${counts.map(([status, count]) => `${count} ${reportWords.status[status]}`).join(', ')}.`,
  cost: {
    records: 'From your notes',
    'minutes-on-the-rollers': 'On the rollers, minutes',
    'hours-on-the-rollers': 'On the rollers, hours',
    'ask-the-publisher': 'Ask the publisher',
  } satisfies Record<NextStep['cost'], string>,
  settles: (names: readonly string[]) => `settles ${names.join(', ')}`,
  noNextSteps: 'Nothing is left to do for this comparison.',
  budgetOf: (of: string) => `Standard uncertainties of the gain, ${of}, in percent of the baseline.`,
  noBudget: 'There is no interval, hence no budget.',
  budgetBar: 'Shares of the variance',
  term: {
    repeatability: 'run-to-run scatter',
    drift: 'drift within the session',
    'warm-up': 'warm-up',
    ambient: 'correction for the air',
    day: 'day-to-day scatter',
    mounting: 'strapping down again',
  } satisfies Record<BudgetTerm['term'], string>,
  known: {
    'these-runs': 'these runs',
    measured: 'facility study',
    declared: 'declared by the facility',
    network: 'other facilities',
    assumed: 'assumed',
  } satisfies Record<BudgetTerm['status'], string>,
  infinite: '∞',
  combined: (uncertainty: string, factor: string) =>
    `Combined standard uncertainty ${uncertainty}, coverage factor ${factor} for a coverage probability of 95 %.`,
  recorded: (recorded: number, used: number, baseline: number, modified: number) =>
    `${recorded} recorded, ${used} used: ${baseline} baseline, ${modified} modified.`,
  excluded: 'Measured, but left out',
  notMeasured: 'Not for measuring',
  unlisted: (count: number) => `${count} numbers of the rig’s own counter are declared as other work.`,
  unaccounted: (numbers: readonly number[]) => `Nobody accounts for ${numbers.join(', ')} of the rig’s own counter.`,
  usedRuns: (runs: readonly string[]) => `Used: ${runs.join(', ')}.`,
  purpose: { conditioning: 'conditioning', tuning: 'tuning', aborted: 'aborted', diagnosis: 'diagnosis' },
  rule: (rule: string) => (rule === 'other' ? 'other reason' : rule),
  side: { baseline: 'baseline', modified: 'modified' },
  conditionsFrom:
    'As stated by whoever submitted the comparison; the digest under “Identity, method and versions” ties it to this report.',
  noConditions:
    'The signed summary holds no description of the machine and the facility; they are in the comparison, whose digest is under “Identity, method and versions”.',
  item: 'Test item',
  change: 'Change under test',
  otherChange: 'Other changes',
  facility: 'Facility',
  machine: 'Machine',
  tested: 'Runs made',
  gear: 'Gear',
  tyrePressure: 'Drive-tyre pressure',
  intakeAir: 'Intake air',
  cellAir: 'Cell air',
  stationPressure: 'Station pressure',
  humidity: 'Relative humidity',
  coolant: 'Coolant',
  oil: 'Oil',
  statedQuantity: 'Stated for the measured runs',
  summary: 'Report',
  issuer: 'Issued by',
  submitter: 'Submitted by',
  oneParty: 'Issuer and submitter are one party: it vouches for itself.',
  issuedAt: 'Issued at',
  supersedes: 'Replaces',
  registration: 'Registration',
  registrationWord: {
    'pre-registered': 'registered before the first run',
    amended: 'registered, and amended after the first run',
    none: 'not registered before the runs',
  } satisfies Record<Issue['registration'], string>,
  protocol: 'Protocol',
  methodVersion: 'Method',
  comparisonDigest: 'Digest of the comparison',
  protocolDigest: 'Digest of the protocol',
  publication: 'Publication',
  publicationWord: { private: 'not published', published: 'published', withdrawn: 'withdrawn' },
  onlyTheseItems: 'The results relate only to the machine and the parts that were tested, as they were tested.',
  cautionLead: 'They inform; the makers’ instructions, local codes and licensed practice come first.',
  verifySteps: [
    'This page is a reading of a signed summary and is not signed itself. What counts is the signed summary.',
    'Get the signed summary, and from the issuer, by a way you trust, the issuer’s keys.',
    'Check both offline: open the verifier page, which works without a network, or run `fairpull verify SUMMARY --keys KEYS`.',
    'With the comparison at hand, have the result computed anew: the same method version gives the same bytes.',
  ],
  signedSummary: 'The signed summary of this report:',
  figuresCaption: 'Means of the sides and gain, every so often; the chart is drawn from all points.',
  unitSwitch: 'Unit of the upper picture',
  openEnd: 'open',
} as const

/** What a gain is of. */
function subject(of: GainSubject): string {
  const quantity = of.quantity === 'wheel-power' ? 'power' : 'torque'
  if (of.kind === 'peak') return `peak ${quantity}`
  if (of.kind === 'at-speed') return `${quantity} at ${rpm(of.from_rpm ?? 0)}`
  return `mean ${quantity}, ${printed(of.from_rpm ?? 0, 0)} to ${rpm(of.to_rpm ?? 0)}`
}

const corrections: Readonly<Record<Result['gains']['correction'], string>> = {
  none: 'not corrected for the air',
  'as-printed': 'as printed: what was done to the figures is not known',
  'un-r85': 'corrected to UN R85 air',
  'eu-134-2014': 'corrected to EU 134/2014 air',
  'sae-j1349-jun90': 'corrected to SAE J1349 (Jun 90) air',
  'sae-j607': 'corrected to SAE J607 air',
  'din-70020': 'corrected to DIN 70020 air',
  'un-r85-ci-natural': 'corrected to UN R85 air (compression ignition)',
  'un-r85-ci-turbocharged': 'corrected to UN R85 air (compression ignition, turbocharged)',
  'iso-1585-ci-natural': 'corrected to ISO 1585 air (compression ignition)',
  'iso-1585-ci-turbocharged-air': 'corrected to ISO 1585 air (compression ignition, turbocharged, air-cooled charge)',
  'iso-1585-ci-turbocharged-liquid':
    'corrected to ISO 1585 air (compression ignition, turbocharged, liquid-cooled charge)',
}

/** A correction in words; by its id where this version has no words for it. */
export function correctionText(id: string): string {
  return Object.hasOwn(corrections, id) ? corrections[id as keyof typeof corrections] : `corrected to ${id}`
}
