/** Sessions of every kind, from a seed alone: to hold one way of computing against another. */
import type { Comparison } from '@fairpull/sdk/contract'
import {
  createRandom,
  drawDisclosure,
  type Fault,
  ordinaryFaults,
  ordinaryNoise,
  type SessionRecipe,
  simulateSession,
} from '@fairpull/sdk/testing'

const designs: readonly [string, ...string[]] = ['AB', 'ABA', 'ABAB', 'A|B', 'A|A|A|B|B|B', 'A|B/A|B']

const [firstFault, ...otherFaults] = Object.values<Fault>(ordinaryFaults)
if (firstFault === undefined) throw new Error('there are faults')
const faultKinds = [firstFault, ...otherFaults] as const

/** A session of any design, with or without a fault, records and claims. */
export function generatedComparison(seed: number): Comparison {
  const random = createRandom(seed)
  const faults: readonly Fault[] = random.uniform() < 0.4 ? [random.pick(faultKinds)] : []
  const recipe: SessionRecipe = {
    seed,
    design: random.pick(designs),
    runsPerBlock: 1 + random.integer(3),
    gain: { shape: 'uniform', percent: random.normal() * 3 },
    claims: [
      {
        id: 'c1',
        quantity: 'wheel-power',
        over: { kind: 'band-mean', from: { value: 5000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
        relation: 'at-least',
        gain: { value: 2, unit: '%' },
      },
    ],
    noise: ordinaryNoise,
    disclosure: drawDisclosure(random),
    faults,
    channels: 'power-only',
  }
  return simulateSession(recipe).comparison
}
