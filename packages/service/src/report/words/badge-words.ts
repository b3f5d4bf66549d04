/** Texts of the badge, English. Kept apart for translation. */
export const badgeWords = {
  name: 'Before/after dyno comparison',
  withdrawn: 'withdrawn',
  noGain: 'no gain shown',
  notComparable: 'the two sides cannot be compared',
  noEstimate: 'no estimate',
  runs: (used: number, recorded: number) => `${used} of ${recorded} runs used`,
} as const
