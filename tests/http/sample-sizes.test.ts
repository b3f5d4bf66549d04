/** `/v1/sample-sizes`. */
import { createFakeService } from '@fairpull/sdk/testing'
import { describe, expect, test } from 'vitest'
import { sampleSizeExamples } from '../../packages/service/src/http/examples.ts'
import { createTestApp } from '../support/test-app.ts'

async function post(body: unknown) {
  const app = await createTestApp()
  const response = await app.request('/v1/sample-sizes', {
    method: 'POST',
    headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
  return { status: response.status, json: await response.json() }
}

describe('a question for a sample size', () => {
  test('is answered with designs, figures and limits', async () => {
    const { status, json } = await post(sampleSizeExamples.recordedRig)
    expect(status).toBe(200)
    expect(json.designs[0]).toMatchObject({ layout: 'interleaved', mountings: 1, isEnough: true })
    expect(json.figures[0]).toMatchObject({ term: 'repeatability', status: 'measured' })
  })

  test('that no design answers is answered all the same', async () => {
    const { status, json } = await post({
      ...sampleSizeExamples.slowSwap,
      target: { kind: 'half-width', halfWidth: { value: 0.01, unit: '%' } },
    })
    expect(status).toBe(200)
    expect(json.verdict).toMatch(/^No sensible number of runs/)
  })

  test.each([
    ['target', { ...sampleSizeExamples.slowSwap, target: { kind: 'peace' } }, '/target/kind'],
    ['unit', { ...sampleSizeExamples.slowSwap, bandWidth: { value: 5000, unit: 'Hz' } }, '/bandWidth/unit'],
    ['protocol', { ...sampleSizeExamples.slowSwap, protocol: 'boats@1' }, '/protocol'],
    ['member', { ...sampleSizeExamples.slowSwap, colour: 'red' }, '/colour'],
  ])('with a wrong %s is refused, naming the place', async (_, body, pointer) => {
    const { status, json } = await post(body)
    expect(status).toBe(422)
    expect(json.errors[0].pointer).toBe(pointer)
  })

  test('the client asks it', async () => {
    const fake = await createFakeService()
    const report = await fake.client().sampleSizes.create(sampleSizeExamples.recordedRig)
    expect(report.designs[0]?.isEnough).toBe(true)
  })
})
