import { describe, expect, test } from 'vitest'
import type { SummaryPayload } from '../../packages/sdk/src/contract/index.ts'
import { protocols } from '../../packages/sdk/src/local/index.ts'
import { badge } from '../../packages/service/src/report/badge.ts'
import { findingGroups, groupOf } from '../../packages/service/src/report/finding-groups.ts'
import { escapeText, markup, textOf } from '../../packages/service/src/report/markup.ts'
import { contentHash } from '../../packages/service/src/report/page.ts'
import { reportPage } from '../../packages/service/src/report/report.ts'
import type { ReportSource } from '../../packages/service/src/report/report-source.ts'
import { fullPayload } from '../contract/answer-fixture.ts'
import { demoSource } from './demo-source.ts'
import { withText } from './hostile-text.ts'

const airFilter = await demoSource('air-filter')
const silencer = await demoSource('silencer')
const peaks = await demoSource('published-peaks')

describe('the report page', () => {
  test('has the same bytes every time', async () => {
    expect(reportPage(await demoSource('air-filter'))).toEqual(reportPage(airFilter))
  })

  test('says the standing and the verdict before anything else', () => {
    const { html } = reportPage(airFilter)
    const places = [
      'Valid: the two sides can be compared',
      escapeText(airFilter.payload.result.verdict),
      'id="gain"',
      'id="claims"',
      'id="findings"',
      'id="budget"',
      'id="accounting"',
      'id="conditions"',
      'id="method"',
      'id="cautions"',
      'id="limits"',
      'id="verify"',
    ].map((text) => html.indexOf(text))
    expect(places.every((place) => place > 0)).toBe(true)
    expect(places).toEqual(places.toSorted((a, b) => a - b))
  })

  test('names every finding once, with its remedy where it is not met', () => {
    for (const source of [airFilter, silencer, peaks]) {
      const { html } = reportPage(source)
      for (const { check, status, remedy } of source.payload.result.findings) {
        if (status !== 'not-applicable') expect(html.split(`<strong>${check}</strong>`)).toHaveLength(2)
        if (status !== 'met') expect(html).toContain(escapeText(remedy))
      }
    }
  })

  test('holds all sentences that were signed: claims, cautions, limits, next steps, exclusions', () => {
    for (const source of [airFilter, silencer, peaks]) {
      const { html } = reportPage(source)
      const {
        claims,
        cautions,
        limits,
        nextSteps,
        scope,
        flags = [],
        alternatives,
        otherCauses = [],
      } = source.payload.result
      const sentences = [
        ...claims.flatMap(({ statement, sentence }) => [statement, sentence]),
        ...[...cautions, ...nextSteps, ...flags, ...alternatives, ...otherCauses].map(({ sentence }) => sentence),
        ...limits,
        ...scope,
      ]
      expect(sentences.filter((sentence) => !html.includes(escapeText(sentence)))).toEqual([])
    }
  })

  test('of an invalid comparison calls no number a gain', () => {
    const { html } = reportPage(silencer)
    expect(html).toContain('none of this is a gain')
    expect(html).toContain('<h2 id="gain">Difference between the sides</h2>')
    expect(html).not.toContain('<h2 id="gain">Gain</h2>')
  })

  test('of a withdrawn summary says so before the standing', () => {
    const { html } = reportPage({ ...airFilter, status: 'withdrawn' })
    expect(html.indexOf('has withdrawn it')).toBeGreaterThan(0)
    expect(html.indexOf('has withdrawn it')).toBeLessThan(html.indexOf('Valid: the two sides'))
  })

  test('without the comparison shows what was signed and says what is missing', () => {
    const { html } = reportPage({ ...airFilter, comparison: null })
    expect(html).toContain('holds no description of the machine')
    expect(html).not.toContain('Drive-tyre pressure</th>')
  })

  test('tells which rules of its plan were kept, and which not', () => {
    const plan = {
      id: '01890000-0000-7000-8000-000000000009',
      product: 'A silencer',
      registration: 'amended',
      level: 0.0125,
      attempt: { number: 2, of: 3 },
      rules: [
        { rule: 'every-run-counted', kept: true, sentence: 'Every run is counted.' },
        { rule: 'runs-as-planned', kept: false, sentence: 'One run was left out.' },
      ],
      sentence: 'The plan was amended.',
    } as const
    const { payload } = airFilter
    const { html } = reportPage({ ...airFilter, payload: { ...payload, result: { ...payload.result, plan } } })
    expect(html).toMatch(/every-run-counted<\/strong>: kept\.<\/span> Every run is counted\./)
    expect(html).toMatch(/runs-as-planned<\/strong>: not kept\.<\/span> One run was left out\./)
    expect(html).toContain('this is number 2 of 3')
    expect(reportPage(airFilter).html).not.toContain('id="plan"')
  })

  test('shows another choice of runs and what the analysis has to say, where there is any', () => {
    const { payload } = airFilter
    const [headline] = payload.result.gains.corrected
    if (headline === undefined) throw new TypeError('a gain')
    const { of, relative } = headline
    const { html } = reportPage({
      ...airFilter,
      payload: {
        ...payload,
        result: {
          ...payload.result,
          flags: [{ flag: 'mounting_dof_1', sentence: 'Seen with <one> degree of freedom.' }],
          alternatives: [
            {
              kind: 'without',
              runs: ['b2'],
              sentence: 'Without run b2 & others.',
              of,
              relative: { ...relative, estimate: 1.5, low: 0.2, high: 2.81 },
            },
          ],
        },
      },
    })
    expect(html).toContain('<li>Seen with &lt;one&gt; degree of freedom.</li>')
    expect(html).toContain('<h3>The same gain with other runs</h3>')
    expect(html).toContain('<li>+1.5 %, 95 % interval +0.2 to +2.8 %: Without run b2 &amp; others.</li>')
    expect(reportPage(airFilter).html).not.toContain('The same gain with other runs')
  })

  test('stands under a policy that permits its one style sheet and nothing else', () => {
    const { html, policy } = reportPage(airFilter)
    const styles = [...html.matchAll(/<style>([^<]*)<\/style>/g)].map(([, style]) => style ?? '')
    expect(styles).toHaveLength(1)
    expect(policy).toBe(
      `default-src 'none'; style-src '${contentHash(styles[0] ?? '')}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'`,
    )
    expect(html).not.toMatch(/ style="|<script|\son[a-z]+=|<link|<img|<iframe|href=(?!"#)/i)
  })

  test('has no id twice', () => {
    const ids = [...reportPage(airFilter).html.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id)
    expect(ids.length).toBeGreaterThan(20)
    expect(ids).toEqual([...new Set(ids)])
  })

  test('groups every check of every protocol by what it protects', () => {
    const checks = Object.values(protocols).flatMap(({ checks: rows }) => [...rows.map(({ check }) => check)])
    expect(checks.length).toBeGreaterThan(30)
    expect(checks.filter((check) => groupOf(check) === 'other')).toEqual([])
    const grouped = Object.values(findingGroups).flat()
    expect(grouped).toEqual([...new Set(grouped)])
  })
})

describe('the badge', () => {
  const shown = (source: ReportSource) => textOf(badge(source)).replace(/<style>.*<\/style>/, '')

  test('says standing, gain with interval, runs and date', () => {
    const svg = shown(airFilter)
    for (const text of ['valid', '+2.65 % (+2.01 to +3.30 %)', '9 of 12 runs used', '2026-05-02'])
      expect(svg).toContain(text)
  })

  test('shows no gain where the sides cannot be compared', () => {
    const svg = shown(silencer)
    expect(svg).toContain('no gain shown')
    expect(svg).not.toMatch(/\d %/)
  })

  test('shows no interval where there is none', () => {
    expect(shown(peaks)).toContain('no interval')
    expect(shown(peaks)).not.toContain(' to +')
  })

  test('of a withdrawn summary says withdrawn instead of the standing, and strikes the gain', () => {
    const svg = shown({ ...airFilter, status: 'withdrawn' })
    expect(svg).toContain('>withdrawn</text>')
    expect(svg).toContain('text-decoration="line-through"')
    expect(svg).not.toContain('>valid</text>')
  })
})

describe('texts that somebody else wrote', () => {
  const sourceWith = (text: string): ReportSource => ({
    ...airFilter,
    payload: withText(fullPayload() as unknown as SummaryPayload, text),
    jws: text,
    status: 'published',
    comparison: withText(airFilter.comparison, text),
  })
  const renderings = (text: string) => [reportPage(sourceWith(text)).html, textOf(badge(sourceWith(text)))]

  test.each([
    '<script>alert(1)</script>',
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    '</style><script>alert(1)</script>',
    ']]><!--<svg onload=alert(1)>',
    '&lt;b&gt;&#x22;',
    '`+alert(1)+`',
    'a\u0000b\u202eevil\ud800',
  ])('come out as text: %j', (text) => {
    const plain = renderings('PLAIN')
    renderings(text).forEach((rendering, i) => {
      // With every occurrence put back, also where the chart shortens a long id to 17 characters, the page is the one of a harmless text, byte for byte.
      const shortened = escapeText(`${text.slice(0, 17)}…`)
      expect(rendering.replaceAll(escapeText(text), 'PLAIN').replaceAll(shortened, 'PLAIN')).toBe(plain[i])
    })
  })

  test('are found in the page at all', () => {
    expect(reportPage(sourceWith('PLAIN')).html.split('PLAIN').length).toBeGreaterThan(20)
  })

  test('pieces of markup are not escaped twice, and texts inside them are once', () => {
    const inner = markup`<b title="${'a"b'}">${'<'}</b>`
    expect(textOf(markup`<p>${[inner, null, undefined, 3]}</p>`)).toBe('<p><b title="a&quot;b">&lt;</b>3</p>')
  })
})
