/** What each check protects; the report groups findings by it. */

/** Groups in the order of the page. */
export const findingGroups = {
  'set-up': [
    'vehicle-matched',
    'rollers-matched',
    'gear-matched',
    'tyre-matched',
    'tyre-pressure-matched',
    'strap-load-matched',
    'mountings-enough',
    'sweep-matched',
    'cooling-matched',
    'rider-matched',
    'mode-matched',
    'speed-ratio-steady',
    'speed-ratio-matched',
  ],
  air: ['air-credible', 'air-close', 'air-within-standard', 'intake-air-matched', 'correction-matched'],
  engine: ['warmed-up', 'engine-temperature-matched', 'fuel-matched', 'mixture-matched', 'fuelling-sound'],
  repeatability: [
    'runs-enough',
    'repeatability',
    'drift-free',
    'returned-to-baseline',
    'outlier-free',
    'cadence-matched',
  ],
  evidence: ['trace-sound', 'power-torque-agree', 'processing-matched', 'no-duplicate-runs'],
  attribution: ['one-change', 'undeclared-differences'],
  accounting: ['all-runs-counted', 'block-consecutive', 'order-coherent', 'planned-before'],
} as const satisfies Readonly<Record<string, readonly string[]>>

/** Name of a group; `other` holds checks that are younger than this page. */
export type FindingGroup = keyof typeof findingGroups | 'other'

/** Names of the groups as they are printed. */
export const groupWords: Readonly<Record<FindingGroup, string>> = {
  'set-up': 'Set-up of machine and rollers',
  air: 'Air',
  engine: 'Engine',
  repeatability: 'Repeatability',
  evidence: 'Evidence',
  attribution: 'Attribution',
  accounting: 'Accounting of runs',
  other: 'Other',
}

/** The group of a check. */
export function groupOf(check: string): FindingGroup {
  for (const [group, checks] of Object.entries(findingGroups)) {
    if (checks.some((each) => each === check)) return group as FindingGroup
  }
  return 'other'
}
