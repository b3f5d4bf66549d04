import { describe, expect, test } from 'vitest'
import { createLook } from '../../packages/sdk/src/cli/look.ts'
import { gainPlot } from '../../packages/sdk/src/cli/plot.ts'
import { renderResult } from '../../packages/sdk/src/cli/render-result.ts'
import { asciiOf, printable, widthOf, wrap } from '../../packages/sdk/src/cli/text.ts'
import { expectGolden } from './golden.ts'
import { invalidResult, reportedResult, validResult } from './results.ts'

const results = { valid: validResult, invalid: invalidResult, reported: reportedResult }

describe('results for a person', () => {
  test.each(Object.entries(results))('%s', (name, result) => {
    expectGolden(`${name}.txt`, `${renderResult(result)}\n`)
  })

  test('in full, in ASCII', () => {
    expectGolden('valid-full-plain.txt', `${renderResult(validResult, { full: true, plain: true })}\n`)
  })

  test('brief', () => {
    expectGolden('invalid-brief.txt', `${renderResult(invalidResult, { brief: true, title: 'silencer.json' })}\n`)
  })

  test.each([40, 60, 80, 200])('no line is wider than %i columns or 80, whichever is less', (width) => {
    const lines = Object.values(results).flatMap((result) => renderResult(result, { width, full: true }).split('\n'))
    expect(Math.max(...lines.map(widthOf))).toBeLessThanOrEqual(Math.min(width, 80))
  })

  test('in ASCII every character is ASCII', () => {
    const text = Object.values(results)
      .map((result) => renderResult(result, { plain: true, full: true }))
      .join('\n')
    expect(text).toMatch(/^[\n\x20-\x7e]*$/)
  })

  test('colours are the same text with colours', () => {
    const esc = String.fromCharCode(27)
    const text = renderResult(validResult, { color: true })
    expect(text).toContain(`${esc}[32mVALID`)
    expect(text.replaceAll(new RegExp(`${esc}\\[\\d+m`, 'g'), '')).toBe(renderResult(validResult))
  })

  test('"up to" is never shown without the rest of the band', () => {
    const [claim] = validResult.claims
    if (claim === undefined) throw new TypeError('a claim')
    const upTo = { ...claim, smallest: { value: -1.2, at_rpm: 4000 }, largest: { value: 5.04, at_rpm: 8050 } }
    expect(renderResult({ ...validResult, claims: [upTo] })).toContain(
      'Smallest gain −1.20 % at 4000 rpm, largest +5.04 % at 8050 rpm.',
    )
  })

  test('another choice of runs, and what the analysis has to say, stand below the gain; without either nothing does', () => {
    const [headline] = validResult.gains.corrected
    if (headline === undefined) throw new TypeError('a gain')
    const { of, relative } = headline
    const without = renderResult(validResult)
    expect(without).not.toContain('The same gain with other runs')
    const text = renderResult({
      ...validResult,
      flags: [{ flag: 'sides_unequal', sentence: 'The sides do not repeat alike.' }],
      alternatives: [
        {
          kind: 'with',
          runs: ['b2'],
          sentence: 'With run b2, left out under the rule other.',
          of,
          relative: { ...relative, estimate: 1.5, low: 0.2, high: 2.81 },
        },
      ],
    }).replaceAll(/\s+/g, ' ')
    expect(text).toContain('! The sides do not repeat alike.')
    expect(text).toContain(
      'The same gain with other runs • +1.5 %, 95 % interval +0.2 to +2.8 %: With run b2, left out under the rule other.',
    )
  })

  test('the answer comes first: standing, then the verdict', () => {
    const [first, second] = renderResult(invalidResult).split('\n')
    expect(first).toMatch(/^INVALID/)
    expect(second).toMatch(/^The sides were not measured alike/)
  })

  test('what a file says is shown, never obeyed: no control characters, no turned writing', () => {
    const esc = String.fromCharCode(27)
    const verdict = `${esc}]0;owned${String.fromCharCode(7)}${esc}[2J\u202Etxet`
    expect(renderResult({ ...validResult, verdict })).not.toMatch(/[^\P{Cc}\n]|\u202e/u)
  })

  test('a newer result with members nobody knows is read all the same', () => {
    expect(renderResult(Object.assign({}, validResult, { addedLater: 1 }))).toBe(renderResult(validResult))
  })
})

describe('the plot', () => {
  const look = createLook()
  const flat = (gain: number) => ({
    engineSpeed_rpm: [3000, 6000, 9000],
    baseline_kW: [20, 40, 50],
    modified_kW: [20, 40, 50],
    gain_percent: [gain, gain, gain],
    pointwise: null,
    simultaneous: null,
    scope: 'none' as const,
    significant: [],
    significantPointwise: [],
  })

  test.each([
    [2, '+2.0 %'],
    [-2, '−2.0 %'],
    [0, '0.0 %'],
  ])('a flat gain of %i %% is one row at its label', (gain, label) => {
    const rows = gainPlot(flat(gain), look).filter((row) => row.includes('│') && row.includes('───'))
    expect(rows).toHaveLength(1)
    expect(rows[0]?.trimStart().startsWith(label)).toBe(true)
  })

  test('zero is always in the picture', () => {
    expect(gainPlot(flat(8), look).some((row) => row.includes(' 0 % '))).toBe(true)
  })

  test('one point is no curve', () => {
    expect(gainPlot({ ...flat(1), engineSpeed_rpm: [3000] }, look)).toEqual([])
  })

  test('the numbers below the axis stand under their marks', () => {
    const rows = gainPlot(flat(1), look)
    const axis = rows.find((row) => row.includes('┬')) ?? ''
    const labels = rows.find((row) => row.includes('rpm')) ?? ''
    expect(axis[labels.indexOf('6000') + 2]).toBe('┬')
  })
})

describe('text', () => {
  test('words are kept whole and lines filled', () => {
    expect(wrap('one two three four', 9, '- ')).toEqual(['- one two', '  three', '  four'])
  })

  test('a word longer than the line is cut, not lost', () => {
    expect(wrap('abcdefghij', 6, '- ')).toEqual(['- abcd', '  efgh', '  ij'])
  })

  test('wide characters count two columns, marks none', () => {
    expect([widthOf('abc'), widthOf('日本'), widthOf('e\u0301')]).toEqual([3, 4, 1])
  })

  test('controls become one visible sign each, line ends become blanks', () => {
    expect(printable('a\u0007b\r\nc\u001b[31m')).toBe('a\ufffdb c\ufffd[31m')
  })

  test('ASCII keeps what can be kept', () => {
    expect(asciiOf('−2,5 % … 20 °C, für „Zürich“ ≥ 日')).toBe('-2,5 % ... 20 deg C, fur ?Zurich" >= ?')
  })
})
