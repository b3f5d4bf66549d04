/**
 * A verifier in another language, written after schemas/README.md, and openssl agree with ours, reason by reason. Needs python3
 * and openssl, so it is run by the gate only: SECOND_VERIFIER=1.
 */
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'
import { corpus } from './corpus.ts'
import { partCases } from './log-cases.ts'
import { ourAnswer } from './our-answers.ts'

const script = fileURLToPath(new URL('verify.py', import.meta.url))

function theirAnswers(cases: readonly unknown[]): unknown {
  const { stdout, stderr, status } = spawnSync('python3', [script], {
    input: JSON.stringify(cases),
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  })
  expect(stderr).toBe('')
  expect(status).toBe(0)
  return JSON.parse(stdout)
}

const valuesOf = (answers: readonly Readonly<Record<string, unknown>>[], member: string) =>
  new Set(answers.map((answer) => answer[member]))

describe.runIf(process.env.SECOND_VERIFIER !== undefined)('both verifiers say the same', () => {
  test('of every summary', async () => {
    const cases = await corpus()
    expect(cases.length).toBeGreaterThanOrEqual(150)
    const expected = []
    for (const each of cases) expected.push(await ourAnswer(each))
    // The corpus is worth something only if it reaches many reasons, and both ends.
    expect(valuesOf(expected, 'code').size).toBeGreaterThanOrEqual(40)
    expect(valuesOf(expected, 'logged')).toEqual(new Set([null, 'not-checked', 'proven', 'log-unknown']))
    expect(valuesOf(expected, 'planFirst')).toEqual(new Set([null, 'no-plan', 'not-checkable', 'yes', 'no']))
    expect(theirAnswers(cases)).toEqual(expected)
  })

  test('of every proof, checkpoint, trust list and withdrawal', async () => {
    const cases = await partCases()
    expect(cases.length).toBeGreaterThanOrEqual(80)
    const expected = []
    for (const each of cases) expected.push(await ourAnswer(each))
    expect(valuesOf(expected, 'holds')).toEqual(new Set([true, false, undefined]))
    expect(valuesOf(expected, 'says')).toEqual(new Set(['withdrawn', 'nothing', undefined]))
    expect(valuesOf(expected, 'code').size).toBeGreaterThanOrEqual(8)
    expect(theirAnswers(cases)).toEqual(expected)
  })
})
