/** The demo's four comparisons: who brings them, what is true in them, and the documents themselves. */
import type { Comparison } from '@fairpull/sdk/contract'
import { airFilter } from './air-filter.ts'
import { intakeTrumpets } from './intake-trumpets.ts'
import { asPrinted, type ComparisonFile, filesOf } from './local-form.ts'
import { publishedPeaks } from './published-peaks.ts'
import { silencer } from './silencer.ts'

/** Seed of the files that are kept under `demo/data`. */
export const committedSeed = 1

/** One comparison of the demo. */
export interface DemoStory {
  /** Who brings it, and what they did. */
  readonly title: string
  /** What is true, since this is a simulation. A real submitter does not know it. */
  readonly truth: string
}

const comparisons = {
  'air-filter': {
    draw: airFilter,
    title: 'A vendor changed an air-filter element on the rollers and changed it back: A-B-A, three runs a block.',
    truth: 'The element gains 2.75 % everywhere.',
  },
  'intake-trumpets': {
    draw: intakeTrumpets,
    title: 'A vendor fitted longer intake trumpets off the rollers and strapped the machine down three times a side.',
    truth: 'The trumpets gain 5 % below about 6,500 rpm and cost 3 % above.',
  },
  silencer: {
    draw: silencer,
    title: 'A vendor made one run before and one after fitting a silencer, and kept little else alike.',
    truth: 'The silencer gains 1 %; the rest of the difference is gear, tyre, cold engine, fuel and map.',
  },
  'published-peaks': {
    draw: publishedPeaks,
    title: 'A reviewer holds an advertisement with two peak figures and nothing else.',
    truth:
      'The exhaust system gains 4 %; the figure before is one run, the figure after the best of five, after re-strapping.',
  },
} as const satisfies Readonly<Record<string, DemoStory & { draw: (seed: number) => Comparison }>>

/** Name of one comparison, and of its folder under `demo/data`. */
export type DemoName = keyof typeof comparisons

/** Names of the comparisons in the order of the demo. */
export const demoNames = Object.keys(comparisons) as DemoName[]

/** Title and truth of a comparison. */
export function demoStory(name: DemoName): DemoStory {
  const { title, truth } = comparisons[name]
  return { title, truth }
}

/**
 * A comparison of the demo, exactly as its files read back: printed digits, digests of the files.
 *
 * @param seed whole number from 1; seed 1 is the one kept in `demo/data`. Nothing is drawn again when an answer differs.
 */
export function demoComparison(name: DemoName, seed: number): Comparison {
  return asPrinted(comparisons[name].draw(seed))
}

/** The files of a comparison, relative to its folder. */
export function demoFiles(name: DemoName, seed: number): readonly ComparisonFile[] {
  return filesOf(comparisons[name].draw(seed))
}
