import type { Flag } from '../../contract/result.ts'
import type { Evidence, Headline } from '../evidence/evidence.ts'
import { toSI } from '../physics/units.ts'
import type { FitFlag } from '../statistics/fit-terms.ts'
import { isMountingGapLonger, longestMountingGap_s } from '../statistics/mounting-gap.ts'
import { recordGapsSentence } from './record-gap-words.ts'

/**
 * What a reader of the headline gain must know of its analysis.
 *
 * @param evidence the evidence.
 * @returns flags with their sentences, in the order of the method; empty where there is nothing. Pure; never throws.
 *
 * Source: measurement-model §1, §3 and §3.7. Tested: tests/engine/flags.test.ts.
 */
export function flagsOf(evidence: Evidence): readonly Flag[] {
  const { headline, session } = evidence
  if (headline === null) return []
  const order: Flag[] = session.orderBasis === 'side-blocks' ? [ORDER_UNKNOWN] : []
  const fitted = headline.fit.flags.map((flag): Flag => ({ flag, sentence: FIT_SENTENCES[flag](headline) }))
  return [...order, ...fitted, ...sidesUnequal(headline), ...longerGap(evidence), ...countsAsDeclared(evidence)]
}

const ORDER_UNKNOWN: Flag = {
  flag: 'order_unknown',
  sentence:
    'Nothing tells in which order the runs were made; all baseline runs are taken to come first, and drift cannot be looked for.',
}

const FIT_SENTENCES: Readonly<Record<FitFlag, (headline: Headline) => string>> = {
  ambient_not_evidenced: () =>
    'The correction factor of a run is not known, so the interval holds nothing for what the correction leaves over.',
  drift_detected: ({ fit }) =>
    `Within the mountings the power ${fit.drift.slope < 0 ? 'falls' : 'rises'} by ${percent(Math.abs(fit.drift.slope))} a run; the interval holds a drift of that size.`,
  noisier_than_facility: () =>
    'These runs scatter more than the facility record lets expect, so their own scatter is used without it.',
  zero_variance: () =>
    'The runs agree to the last digit; figures without any scatter are not credible, and give no interval.',
  mounting_scatter_above_declared: () =>
    'The mountings of one side differ by more than the re-mounting value of the facility record lets expect.',
  mounting_dof_1: () =>
    'The scatter between mountings is seen with one degree of freedom only, which makes the interval very wide.',
  mounting_component_unknown: () =>
    'How much strapping the machine down again changes the power is neither recorded nor visible in these runs.',
  between_day_component_unknown: () =>
    'The runs are of more than one day, and how much the days differ is not recorded.',
}

/** Within-mounting scatter of each side, shown only here where it differs; the interval takes one scatter for both. */
function sidesUnequal({ sideScatter: { sds, isUnequal }, name }: Headline): readonly Flag[] {
  const [baseline, modified] = sds
  if (!isUnequal || baseline === null || modified === null) return []
  return [
    {
      flag: 'sides_unequal',
      sentence: `The sides do not repeat alike: within a mounting the baseline scatters by ${percent(baseline)} and the modified side by ${percent(modified)} (standard deviations of ${name}), while the interval takes one scatter for both. Make three runs or more of each side.`,
    },
  ]
}

function longerGap({ session }: Evidence): readonly Flag[] {
  const spacing = session.comparison.facility?.record?.remounting?.spacing
  const gap_s = longestMountingGap_s(session.used)
  const spacing_s = spacing === undefined ? null : toSI('time', spacing)
  if (gap_s === null || spacing_s === null || !isMountingGapLonger(gap_s, spacing_s)) return []
  return [
    {
      flag: 'mount_gap_longer_than_record',
      sentence: `Between two mountings ${minutes(gap_s)} passed, and ${minutes(spacing_s)} when the facility record was made: what drifts meanwhile may be larger than its re-mounting value holds.`,
    },
  ]
}

function countsAsDeclared({ recordReading: { gaps } }: Evidence): readonly Flag[] {
  return gaps.length === 0 ? [] : [{ flag: 'record_counts_as_declared', sentence: recordGapsSentence(gaps) }]
}

/** Of a relative figure, in three significant digits. */
function percent(fraction: number): string {
  return `${Number((100 * fraction).toPrecision(3))} %`
}

function minutes(seconds: number): string {
  return `${Math.round(seconds / 60)} min`
}
