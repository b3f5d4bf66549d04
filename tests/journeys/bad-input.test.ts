/** Bad input over HTTP: a clear answer that names the member, the value and the remedy, and nothing is stored by halves. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Journey, startJourney } from '../support/journey.ts'
import {
  changed,
  claimBeyond,
  incredible,
  noNumbers,
  RUN,
  tenThousandRuns,
  unreadable,
  withNoNumber,
} from './bad-input-cases.ts'

let journey: Journey

beforeAll(async () => {
  journey = await startJourney()
})

afterAll(() => journey.end())

async function post(body: BodyInit) {
  return journey.fetch(`${journey.service.url}/v1/assessments`, {
    method: 'POST',
    headers: { authorization: `Bearer ${journey.apiKey}`, 'content-type': 'application/json' },
    body,
  })
}

interface Refused {
  readonly code: string
  readonly detail: string
  readonly errors: readonly { readonly pointer: string; readonly code: string; readonly detail: string }[]
}

async function refused(body: BodyInit, status = 422): Promise<Refused> {
  const before = await stored()
  const response = await post(body)
  const answer = await response.json()
  expect(response.status, JSON.stringify(answer).slice(0, 500)).toBe(status)
  expect(await stored()).toEqual(before)
  return answer
}

/** Everything that the service has stored. */
async function stored(): Promise<unknown> {
  const response = await journey.fetch(`${journey.service.url}/v1/assessments`, {
    headers: { authorization: `Bearer ${journey.apiKey}` },
  })
  return response.json()
}

async function resultOf(body: string) {
  const response = await post(body)
  expect(response.status).toBe(201)
  return (await response.json()).payload.result
}

describe('what cannot be read is refused', () => {
  test.each([...unreadable])('$what', async ({ change, pointer, code, value, remedy }) => {
    const { errors } = await refused(changed(change))
    const named = errors.find((each) => each.pointer === pointer)
    expect(named, JSON.stringify(errors)).toMatchObject({ code })
    expect(named?.detail).toMatch(value)
    expect(named?.detail).toMatch(remedy)
  })

  test('a protocol that nobody has', async () => {
    const { errors } = await refused(
      changed((document) => {
        document.protocol = 'cars@1'
      }),
    )
    expect(errors).toEqual([expect.objectContaining({ pointer: '/protocol', code: 'ERR_NOT_IN_LIST' })])
    expect(errors[0]?.detail).toMatch(/cars@1.*motorcycle-rollers@/)
  })

  test.each([...noNumbers])('%s as a number', async (disguise) => {
    const { code, errors } = await refused(withNoNumber(disguise), 400)
    expect(code).toBe('ERR_JSON')
    expect(errors[0]?.pointer).toBe(`${RUN}/channels/engineSpeed/values/0`)
  })

  test('10,000 runs', async () => {
    const { errors } = await refused(tenThousandRuns())
    expect(errors).toEqual([expect.objectContaining({ pointer: '/runs', code: 'ERR_TOO_MANY' })])
    expect(errors[0]?.detail).toMatch(/10000 runs; at most 1000 are read/)
  })

  test('a body of 50 MB', async () => {
    const { code, detail } = await refused(Buffer.alloc(50_000_000, 0x20), 413)
    expect(code).toBe('ERR_BODY_TOO_LARGE')
    expect(detail).toContain('2097152')
  })
})

describe('what can be read but is not credible is a finding, signed like any other', () => {
  test.each([...incredible])('$what', async ({ change, check }) => {
    const result = await resultOf(changed(change))
    const finding = result.findings.find((each: { check: string }) => each.check === check)
    expect(finding).toMatchObject({ status: 'breached' })
    expect(finding.remedy).not.toBe('')
    expect(result.standing).toBe('invalid')
  })

  test('a claim outside the range that the runs cover', async () => {
    const { claims } = await resultOf(claimBeyond())
    expect(['undecided', 'not-assessable']).toContain(claims[0].judgement)
    expect(claims[0].sentence).not.toBe('')
  })
})
