/** Assertions about refused comparisons. */
import { expect } from 'vitest'
import type { ComparisonProblem } from '../../packages/sdk/src/contract/field-problem.ts'
import { readComparison } from '../../packages/sdk/src/contract/read-comparison.ts'

/** The problems of a document; none when it is read. */
export function problems(value: unknown): readonly ComparisonProblem[] {
  const read = readComparison(value)
  return read.ok ? [] : read.problems
}

/** The one problem of a document; its detail must name every fragment. */
export function expectProblem(value: unknown, pointer: string, code: string, ...fragments: readonly string[]): void {
  const found = problems(value)
  expect(found.map((each) => [each.pointer, each.code])).toEqual([[pointer, code]])
  for (const fragment of fragments) expect(found[0]?.detail).toContain(fragment)
}
