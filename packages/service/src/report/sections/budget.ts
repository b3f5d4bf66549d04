/** The uncertainty budget of the headline gain, as a table and as a bar. Pure. */
import type { BudgetTerm, Result } from '@fairpull/sdk/contract'
import { type Markup, markup } from '../markup.ts'
import { printed, significant } from '../numbers.ts'
import { section } from '../page.ts'
import { reportWords as words } from '../words/report-words.ts'

/** Degrees of freedom from which they are printed as infinite: the result writes 1e9 for infinity. */
const INFINITE = 1e9

/** Length of the bar. [px of the picture] */
const BAR = 400

/** Tints of neighbours in the bar, told apart by lightness; the letters tie them to the table. */
const TINTS = ['t0', 't1', 't2'] as const

/** The section. */
export function budgetSection({ budget, gains }: Result): Markup {
  const { sections, columns, noBudget } = words
  const [headline] = gains.corrected
  if (budget.length === 0 || headline === undefined) {
    return section('budget', sections.budget, markup`<p>${noBudget}</p>`)
  }
  const sorted = budget.toSorted((a, b) => b.share - a.share)
  const { standardUncertainty, coverageFactor } = headline.relative
  return section(
    'budget',
    sections.budget,
    markup`<p>${words.budgetOf(words.subject(headline.of))}</p>`,
    bar(sorted),
    markup`<div class="scroll" tabindex="0" role="region" aria-label="${sections.budget}"><table>
<thead><tr><th scope="col">${columns.term}</th><th scope="col">${columns.type}</th><th scope="col" class="number">${columns.uncertainty}</th><th scope="col" class="number">${columns.freedom}</th><th scope="col" class="number">${columns.share}</th><th scope="col">${columns.basis}</th></tr></thead>
<tbody>${sorted.map(row)}</tbody></table></div>`,
    standardUncertainty === null || coverageFactor === null
      ? null
      : markup`<p class="quiet small">${words.combined(`${significant(standardUncertainty, 2)} %`, printed(coverageFactor, 2))}</p>`,
  )
}

function row(term: BudgetTerm, i: number): Markup {
  const freedom = term.degreesOfFreedom >= INFINITE ? words.infinite : significant(term.degreesOfFreedom, 3)
  return markup`<tr><th scope="row">${letter(i)} · ${words.term[term.term]}</th><td>${term.type}</td><td class="number">${significant(term.standardUncertainty, 2)} %</td><td class="number">${freedom}</td><td class="number">${shareText(term.share)}</td><td>${words.known[term.status]}</td></tr>
`
}

function shareText(share: number): string {
  return share > 0 && share < 0.1 ? '< 0.1 %' : `${printed(share, 1)} %`
}

function letter(i: number): string {
  return String.fromCharCode('A'.charCodeAt(0) + i)
}

function bar(budget: readonly BudgetTerm[]): Markup {
  const total = budget.reduce((sum, { share }) => sum + share, 0)
  const at = { x: 0 }
  const pieces = budget.map(({ share }, i) => {
    const width = total === 0 ? 0 : (share / total) * BAR
    const { x } = at
    at.x += width
    const name =
      width < 18
        ? null
        : markup`<text x="${(x + width / 2).toFixed(1)}" y="16" text-anchor="middle">${letter(i)}</text>`
    return markup`<rect class="${TINTS[i % TINTS.length]}" x="${x.toFixed(1)}" width="${width.toFixed(1)}" height="24"/>${name}`
  })
  const told = budget.map(({ term, share }) => `${words.term[term]} ${shareText(share)}`).join(', ')
  return markup`<svg class="bar" viewBox="0 0 ${BAR} 24" role="img" aria-label="${words.budgetBar}: ${told}">${pieces}</svg>`
}
