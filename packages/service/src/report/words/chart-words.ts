/** Texts of the chart. Kept apart for translation: nothing else in `report/chart` holds words that are shown. */
import type { Claim, Standing } from '@fairpull/sdk/contract'
import { printed, rpm, signed } from '../numbers.ts'

const relations = { 'at-least': 'at least', 'at-most': 'at most', 'equals-within': 'close to' } as const

/** Texts of the chart, English. */
export const chartWords = {
  title: (standing: Standing) =>
    standing === 'invalid'
      ? 'Both sides, and their difference over engine speed'
      : 'Both sides, and the gain over engine speed',
  sides: (quantity: 'power' | 'torque', unit: string) =>
    quantity === 'power' ? `Power of both sides, ${unit}` : `Torque of both sides, ${unit}`,
  baseline: 'baseline, mean',
  modified: 'modified, mean',
  runs: (count: number) => `${count} single runs`,
  gain: (standing: Standing) =>
    standing === 'invalid'
      ? 'Difference, % – not a gain: the sides cannot be compared'
      : 'Gain, modified minus baseline, %',
  gainNarrow: (standing: Standing) => (standing === 'invalid' ? 'Difference, % – not a gain' : 'Gain over baseline, %'),
  near: '95 % at any one speed',
  wide: '95 % for the whole curve',
  noBand: 'gain; the runs give no interval for a curve',
  asMounted: 'for these mountings only',
  sure: 'Beyond doubt over the whole curve:',
  sureGain: 'gain',
  sureLoss: 'loss',
  nowhere: 'nowhere',
  speed: 'Engine speed, rpm',
  claim: (id: string, relation: keyof typeof relations, { value, unit }: Claim['gain']) =>
    `${id}: ${relations[relation]} ${signed(value, decimals(value))} ${unit}`,
  peaks: (ids: readonly string[]) =>
    `Not in the lower picture: ${ids.join(', ')}. The two sides peak at different engine speeds, so a gain of the peak is no gain at a speed.`,
  noCurve: 'There is no curve to draw.',
  whyNoCurve: 'The runs share no power over engine speed.',
  describeSides: (from: number, to: number) =>
    `Mean curves of baseline and modified side from ${rpm(from)} to ${rpm(to)}.`,
  describeGain: (low: number, lowAt: number, high: number, highAt: number, standing: Standing) =>
    `${standing === 'invalid' ? 'Difference' : 'Gain'} from ${signed(low, 1)} % at ${rpm(lowAt)} to ${signed(high, 1)} % at ${rpm(highAt)}.`,
  describeSure: (kind: 'gain' | 'loss', from: number, to: number) =>
    `${kind === 'gain' ? 'Gain' : 'Loss'} beyond doubt from ${rpm(from)} to ${rpm(to)}.`,
  describeNoSure: 'No range of engine speeds with a gain or a loss beyond doubt.',
} as const

function decimals(value: number): number {
  return Number.isInteger(value) ? 0 : printed(value, 2).endsWith('0') ? 1 : 2
}
