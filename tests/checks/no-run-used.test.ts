import { expect, test } from 'vitest'
import type { Comparison } from '../../packages/sdk/src/contract/index.ts'
import { canonicalJsonBytes } from '../../packages/sdk/src/integrity/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'

test('a comparison of conditioning runs alone, at a facility of known altitude, is judged and not refused', async () => {
  const whole = demoComparison('air-filter', 1)
  const only: Comparison = { ...whole, runs: whole.runs.filter(({ purpose }) => purpose === 'conditioning') }
  expect(only.facility?.altitude).toBeDefined()
  const result = await assess(only)
  expect(() => canonicalJsonBytes(result)).not.toThrow()
  expect(result.standing).not.toBe('valid')
  expect(result.accounting.used).toEqual([])
  expect(result.findings.find(({ check }) => check === 'air-credible')?.status).toBe('not-evidenced')
})
