/** One engine: the result is the same, byte for byte, from the service and from the SDK on one's own machine. */
import type { Comparison } from '@fairpull/sdk/contract'
import { assess } from '@fairpull/sdk/engine'
import { canonicalJson } from '@fairpull/sdk/verify'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { demoComparison, demoNames } from '../../packages/service/demo/scenario/index.ts'
import { generatedComparison } from '../support/generated-comparison.ts'
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

test('200 generated comparisons', async () => {
  const seeds = Array.from({ length: 200 }, (_, index) => index + 1)
  while (seeds.length > 0) {
    await Promise.all(
      seeds.splice(0, 8).map(async (seed) => {
        const comparison = generatedComparison(seed)
        expect(await signedResult(comparison), `seed ${seed}`).toBe(canonicalJson(await assess(comparison)))
      }),
    )
  }
}, 240_000)
