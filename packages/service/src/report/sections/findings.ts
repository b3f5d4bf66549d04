/** What was checked, grouped by what it protects; what is wrong first, what is met only named. Pure. */
import type { Finding } from '@fairpull/sdk/contract'
import { type FindingGroup, findingGroups, groupOf, groupWords } from '../finding-groups.ts'
import { type Markup, markup } from '../markup.ts'
import { printed } from '../numbers.ts'
import { section } from '../page.ts'
import { reportWords as words } from '../words/report-words.ts'

const order: readonly Finding['status'][] = ['breached', 'marginal', 'not-evidenced', 'met', 'not-applicable']

const signs: Readonly<Record<Finding['status'], string>> = {
  breached: '✕',
  marginal: '◐',
  'not-evidenced': '?',
  met: '✓',
  'not-applicable': '–',
}

const tones: Readonly<Record<Finding['status'], string>> = {
  breached: 'bad',
  marginal: 'middling',
  'not-evidenced': 'middling',
  met: 'good',
  'not-applicable': 'quiet',
}

/** The section. */
export function findingsSection(findings: readonly Finding[]): Markup {
  const counts = order.flatMap((status) => {
    const count = findings.filter((finding) => finding.status === status).length
    return count === 0 ? [] : [[status, count] as const]
  })
  const groups = [...(Object.keys(findingGroups) as FindingGroup[]), 'other' as const]
  return section(
    'findings',
    words.sections.findings,
    markup`<p>${words.findingCounts(counts)}</p>`,
    ...groups.map((group) =>
      groupPart(
        group,
        findings.filter(({ check }) => groupOf(check) === group),
      ),
    ),
  )
}

function groupPart(group: FindingGroup, findings: readonly Finding[]): Markup | null {
  if (findings.length === 0) return null
  const sorted = findings.toSorted((a, b) => order.indexOf(a.status) - order.indexOf(b.status))
  const apart = sorted.filter(({ status }) => status === 'not-applicable').map(({ check }) => check)
  return markup`<h3>${groupWords[group]}</h3>
<ul class="plain findings">${sorted.filter(({ status }) => status !== 'not-applicable').map(item)}</ul>
${apart.length === 0 ? null : markup`<p class="quiet small">${words.notApplicable(apart)}</p>`}
`
}

function item(finding: Finding): Markup {
  const { check, status, severity, sentence, remedy, runs, basis, evidence } = finding
  const isMet = status === 'met'
  const weight = status === 'breached' ? `, ${words.weight[severity]}` : ''
  return markup`<li><p><span class="${tones[status]}"><span aria-hidden="true">${signs[status]}</span> <strong>${check}</strong>: ${words.status[status]}${weight}.</span> ${sentence}${observedOf(finding)}</p>
${remedy === '' || isMet ? null : markup`<p><strong>${words.remedy}</strong> ${remedy}${evidence === null ? '' : ` ${words.where[evidence]}`}</p>`}${
  isMet
    ? null
    : markup`<p class="quiet small">${runs.length === 0 ? '' : `${words.runsConcerned(runs)} `}${words.basis(basis)}</p>`
}</li>
`
}

/** The observed value beside its limit; without one only where something is amiss. */
function observedOf({ observed, limit, unit, status }: Finding): Markup | null {
  if (observed === null || (limit === null && status === 'met')) return null
  return markup` <span class="quiet">(${words.observed(valueText(observed, unit), limit === null ? '' : valueText(limit, unit))})</span>`
}

function valueText(value: number | string, unit: string): string {
  const text = typeof value === 'number' ? printed(value, decimalsOf(value)) : value
  return unit === '' || unit === '1' ? text : `${text} ${unit}`
}

/** As many decimals as the number needs, three at most. */
function decimalsOf(value: number): number {
  return [0, 1, 2].find((decimals) => Number(value.toFixed(decimals)) === value) ?? 3
}
