/**
 * The report page: one self-contained document without script, the answer first. Its fields follow ISO/IEC 17025:2017,
 * 7.8.2, as far as they apply to a comparison that somebody submits.
 */
import { chartData } from './chart/chart-data.ts'
import { chartStyle } from './chart/chart-style.ts'
import { markup } from './markup.ts'
import { type Page, page } from './page.ts'
import { pageStyle, squeezed } from './page-style.ts'
import type { ReportSource } from './report-source.ts'
import { accountingSection } from './sections/accounting.ts'
import { budgetSection } from './sections/budget.ts'
import { claimsSection } from './sections/claims.ts'
import { conditionsSection } from './sections/conditions.ts'
import { curveSection, figuresSection, unitSwitchStyle } from './sections/curve.ts'
import { findingsSection } from './sections/findings.ts'
import { gainSection } from './sections/gain.ts'
import { headSection, scopeSection } from './sections/head.ts'
import { otherCausesSection } from './sections/other-causes.ts'
import { planSection } from './sections/plan.ts'
import { cautionsSection, limitsSection, methodSection, nextStepsSection, verifySection } from './sections/rest.ts'
import { reportWords as words } from './words/report-words.ts'

const REPORT_STYLE = `
.standing{font-size:1.15rem;font-weight:700;margin:.75rem 0 .25rem}
.verdict{font-size:1.1rem;margin-top:.25rem}
.withdrawn{border:2px solid;padding:.6rem .8rem}
.figure strong{font-size:2.2rem;line-height:1.1;margin-right:.5rem;font-variant-numeric:tabular-nums}
.figure span{white-space:nowrap}
.struck strong{text-decoration:line-through;text-decoration-thickness:2px}
.plain{list-style:none;padding:0}
.card{border-left:4px solid var(--rule);padding:.1rem 0 .1rem .8rem;margin:.75rem 0}
.card p,.findings p{margin:.15rem 0}
.findings{margin:.25rem 0}.findings li{padding:.15rem 0 .15rem 1.4rem;text-indent:-1.4rem}.findings li p+p{text-indent:0}
figure{margin:.5rem 0}
.fp-chart,.bar{display:block;width:100%;height:auto;max-width:45rem}
.narrow .fp-chart{max-width:26rem}
fieldset{border:0;padding:0;margin:.5rem 0}legend{padding:0;float:left;margin-right:1rem}label{display:inline-block;padding:.15rem .75rem .15rem 0;min-height:1.75rem}
.bar{margin:.5rem 0;max-width:30rem}.bar text{font-size:13px;font-weight:600;fill:#fff}
.t0{fill:#4b2f8a}.t1{fill:#6a5a94}.t2{fill:#56616d}
.jws{white-space:pre-wrap;overflow-wrap:anywhere;max-height:16rem;overflow-y:auto}
.figures{font-size:.8rem}.figures th[scope=row]{min-width:0}
@media print{.no-print,fieldset{display:none}.fp-chart{max-width:125mm}.figures{font-size:6.5pt}.figures th,.figures td{padding:.1rem .3rem .1rem 0}.figure strong{font-size:20pt}}
`

/** The report of a summary. The same source gives the same bytes. Pure. */
export function reportPage(source: ReportSource): Page {
  const { result, issue } = source.payload
  const chart = chartData(result, source.comparison)
  return page({
    title: words.title(issue.id),
    language: words.language,
    style: pageStyle() + chartStyle('auto') + squeezed(REPORT_STYLE) + unitSwitchStyle(),
    body: markup`<main>
${headSection(source)}
${gainSection(result)}
${curveSection(chart)}
${claimsSection(result)}
${scopeSection(result)}
${planSection(result)}
${otherCausesSection(result)}
${findingsSection(result.findings)}
${nextStepsSection(result)}
${budgetSection(result)}
${accountingSection(result)}
${conditionsSection(source.comparison)}
${methodSection(source)}
${cautionsSection(result)}
${limitsSection(result)}
${verifySection(source)}
${figuresSection(chart)}
</main>`,
  })
}
