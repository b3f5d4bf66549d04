import { recordedSession, signedFixture, tampered, testTrust, twoFigures } from '@fairpull/sdk/testing'
import { readTrust, verifySummary } from '@fairpull/sdk/verify'
import { describe, expect, test } from 'vitest'
import { readComparison } from '../../packages/sdk/src/contract/read-comparison.ts'

async function verdictOf(summary: string) {
  const trust = await readTrust(testTrust)
  if (!trust.ok) throw new TypeError(trust.problem.detail)
  return (await verifySummary(summary, { trust: trust.value })).verdict
}

describe('fixtures', () => {
  test.each([
    ['two figures', twoFigures],
    ['a recorded session', recordedSession()],
  ])('%s is a comparison that the contract takes', (_, comparison) => {
    expect(readComparison(JSON.parse(JSON.stringify(comparison))).ok).toBe(true)
  })

  test('a signed one verifies under the test trust, and is the same every time', async () => {
    const { summary, result } = await signedFixture(recordedSession())
    expect(await verdictOf(summary)).toBe('verified')
    expect(result.standing).toBe('valid')
    expect((await signedFixture(recordedSession())).summary).toBe(summary)
  })

  test('its issue can be set, for example to a time of its own', async () => {
    const { payload, summary } = await signedFixture(twoFigures, { issuedAt: '2010-01-01T00:00:00Z' })
    expect(payload.issue.issuedAt).toBe('2010-01-01T00:00:00Z')
    expect(await verdictOf(summary)).toBe('refused')
  })

  test('an altered one is refused', async () => {
    expect(await verdictOf(tampered((await signedFixture()).summary))).toBe('refused')
  })

  test('a true claim and a false one come out as what they are', async () => {
    const judged = async (claimed: number) => {
      const { result } = await signedFixture(recordedSession({ percent: 4, claimed }))
      return result.claims[0]?.judgement
    }
    expect(await judged(2)).toBe('supported')
    expect(await judged(8)).toBe('contradicted')
  })
})
