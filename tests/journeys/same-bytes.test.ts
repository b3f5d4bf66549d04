/** One engine: the result is the same, byte for byte, from the service and from the SDK on one's own machine. */
import type { Comparison } from '@fairpull/sdk/contract'
import { assess } from '@fairpull/sdk/engine'
import {
  createRandom,
  drawDisclosure,
  type Fault,
  ordinaryFaults,
  ordinaryNoise,
  type SessionRecipe,
  simulateSession,
} from '@fairpull/sdk/testing'
import { canonicalJson } from '@fairpull/sdk/verify'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { demoComparison, demoNames } from '../../packages/service/demo/scenario/index.ts'
import { type Journey, startJourney } from '../support/journey.ts'

let journey: Journey

beforeAll(async () => {
  journey = await startJourney()
})

afterAll(() => journey.end())

/** The signed bytes of `result`, cut out of the signed payload. */
async function signedResult(comparison: Comparison): Promise<string> {
  const { summary } = await journey.client().assessments.create(comparison)
  const payload = Buffer.from(summary.split('.')[1] ?? '', 'base64url').toString()
  const result = payload.slice(payload.indexOf(',"result":') + ',"result":'.length, -1)
  expect(payload).toBe(`{"issue":${canonicalJson(JSON.parse(payload).issue)},"result":${result}}`)
  return result
}

test.each(demoNames)('the demo %s', async (name) => {
  const comparison = demoComparison(name, 1)
  expect(await signedResult(comparison)).toBe(canonicalJson(await assess(comparison)))
})

const designs: readonly [string, ...string[]] = ['AB', 'ABA', 'ABAB', 'A|B', 'A|A|A|B|B|B', 'A|B/A|B']

const [firstFault, ...otherFaults] = Object.values<Fault>(ordinaryFaults)
if (firstFault === undefined) throw new Error('there are faults')
const faultKinds = [firstFault, ...otherFaults] as const

/** A session of any design, with or without a fault, records and claims. */
function generated(seed: number): Comparison {
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

test('200 generated comparisons', async () => {
  const seeds = Array.from({ length: 200 }, (_, index) => index + 1)
  while (seeds.length > 0) {
    await Promise.all(
      seeds.splice(0, 8).map(async (seed) => {
        const comparison = generated(seed)
        expect(await signedResult(comparison), `seed ${seed}`).toBe(canonicalJson(await assess(comparison)))
      }),
    )
  }
}, 240_000)
