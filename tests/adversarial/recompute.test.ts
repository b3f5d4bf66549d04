import { describe, expect, test } from 'vitest'
import type { Comparison, Result } from '../../packages/sdk/src/contract/index.ts'
import { inputDigests } from '../../packages/sdk/src/integrity/digest.ts'
import { compareInputs, compareResults } from '../../packages/sdk/src/integrity/recompute.ts'
import { result } from './support/summary-fixture.ts'

function changed(pointer: string, value: unknown): Result {
  const copy = JSON.parse(JSON.stringify(result)) as Record<string, unknown>
  const steps = pointer.split('/').slice(1)
  const last = steps.pop() ?? ''
  const parent = steps.reduce<Record<string, unknown>>((at, step) => at[step] as Record<string, unknown>, copy)
  parent[last] = value
  return copy as unknown as Result
}

describe('a recomputed result', () => {
  test('is identical when its canonical form is, whatever the order of its members', () => {
    const reversed = Object.fromEntries(Object.entries(result).toReversed()) as unknown as Result
    expect(compareResults(result, reversed)).toEqual({ answer: 'identical', members: [], memberCount: 0 })
  })

  test('of another method version accuses nobody, whatever else differs', () => {
    const other = { ...changed('/score', 12), method: '1.1.0' }
    expect(compareResults(result, other)).toEqual({
      answer: 'other-method-version',
      members: ['/method'],
      memberCount: 1,
    })
  })

  // Six significant digits: the estimate 2.74163 has its last digit at 1e-5, the p-value 0.0021077 at 1e-8.
  const lastDigit: Readonly<Record<string, readonly [value: unknown, answer: string]>> = {
    '/claims/0/interval/estimate': [2.74164, 'agrees-to-last-digit'],
    '/claims/0/interval/low': [1.90354, 'agrees-to-last-digit'],
    '/claims/0/interval/high': [3.5866, 'differs'],
    '/claims/0/supportP': [0.00210771, 'agrees-to-last-digit'],
    '/claims/0/contradictionP': [0.997894, 'differs'],
    '/budget/0/share': [99.9999, 'agrees-to-last-digit'],
    '/budget/0/degreesOfFreedom': [13.0002, 'differs'],
    '/score': [88, 'differs'],
    '/accounting/recorded': [3, 'differs'],
    '/accounting/unlisted': [1e-9, 'differs'],
    '/verdict': ['The part gains 2.74 % over the band, within 1.91 % to 3.59 %, as mounted.', 'agrees-to-last-digit'],
    '/claims/0/sentence': ['The lower end, 1.92 %, is above 1.5 %.', 'differs'],
    '/claims/0/statement': ['At most 1.5 % band mean.', 'differs'],
    '/claims/0/judgement': ['undecided', 'differs'],
    '/claims/0/claim': ['c2', 'differs'],
    '/method': ['1.0.0', 'identical'],
    '/standing': ['valid', 'differs'],
    '/findings/0/observed': [null, 'differs'],
    '/claims/0/reason': ['none', 'differs'],
    '/inputs/comparison': [`sha256:${'2c'.repeat(32)}`, 'differs'],
    '/protocol/id': ['motorcycle-rollers@2', 'differs'],
  }
  for (const [pointer, [value, answer]] of Object.entries(lastDigit)) {
    test(`with ${JSON.stringify(value)} at ${pointer}: ${answer}`, () => {
      const comparison = compareResults(result, changed(pointer, value))
      expect(comparison.answer).toBe(answer)
      expect(comparison.members).toEqual(answer === 'identical' ? [] : [pointer])
      expect(compareResults(changed(pointer, value), result)).toEqual(comparison)
    })
  }

  test('with a count in a sentence one away differs: counts do not round', () => {
    const one = changed('/limits', ['2 runs were used.'])
    expect(compareResults(one, changed('/limits', ['3 runs were used.'])).answer).toBe('differs')
  })

  test('with an element or a member more, or an array for an object, differs', () => {
    for (const other of [
      changed('/scope', [...result.scope, 'More.']),
      changed('/extra', 1),
      changed('/attribution', []),
    ]) {
      expect(compareResults(result, other).answer).toBe('differs')
    }
  })

  test('that differs names the members that accuse, not those that agree to the last digit', () => {
    const both = { ...changed('/claims/0/interval/estimate', 2.74164), standing: 'valid' as const }
    expect(compareResults(result, both)).toEqual({ answer: 'differs', members: ['/standing'], memberCount: 1 })
  })

  test('with very many members that differ lists 100 and counts all', () => {
    const many = (value: number) => changed('/accounting/unaccounted', new Array(250).fill(value))
    const comparison = compareResults(many(1), many(2))
    expect(comparison.members).toHaveLength(100)
    expect(comparison.memberCount).toBe(250)
  })
})

describe('the data at hand', () => {
  const comparison: Comparison = {
    protocol: 'motorcycle-rollers@1',
    runs: [
      { id: 'b1', side: 'baseline', purpose: 'measured', reported: { peakPower: { value: 60, unit: 'kW' } } },
      { id: 'm1', side: 'modified', purpose: 'measured', reported: { peakPower: { value: 62, unit: 'kW' } } },
    ],
  }

  test('are the signed ones when every digest is', async () => {
    expect(await compareInputs(await inputDigests(comparison), comparison)).toEqual({ isSame: true, otherRuns: [] })
  })

  test('are others when a run is, and the run is named', async () => {
    const signed = await inputDigests(comparison)
    const [baseline, modified] = comparison.runs
    if (baseline === undefined || modified === undefined) throw new Error('two runs')
    const raised = { ...modified, reported: { peakPower: { value: 63, unit: 'kW' as const } } }
    expect(await compareInputs(signed, { ...comparison, runs: [baseline, raised] })).toEqual({
      isSame: false,
      otherRuns: ['m1'],
    })
    expect(await compareInputs(signed, { ...comparison, runs: [modified] })).toEqual({
      isSame: false,
      otherRuns: ['b1'],
    })
  })

  test('are others when only the frame around the runs is', async () => {
    const other = { ...comparison, reportIn: 'none' as const }
    expect(await compareInputs(await inputDigests(comparison), other)).toEqual({ isSame: false, otherRuns: [] })
  })

  test('are others when they are no comparison at all', async () => {
    const signed = await inputDigests(comparison)
    for (const nonsense of [null, {}, { runs: [null] }, { runs: [{ id: 'b1', channels: { torque: 1 } }] }]) {
      const answer = await compareInputs(signed, nonsense as unknown as Comparison)
      expect(answer).toEqual({ isSame: false, otherRuns: ['b1', 'm1'] })
    }
  })
})
