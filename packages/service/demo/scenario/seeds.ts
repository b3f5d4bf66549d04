import { createRandom } from '@fairpull/sdk/testing'

/** Seed of one comparison: each draws its own numbers out of the demo's seed. */
export function comparisonSeed(name: string, seed: number): number {
  return createRandom(seed)
    .fork(name)
    .integer(2 ** 32)
}
