/**
 * The badge: standing, gain with interval, runs used of recorded, date, and whether it was withdrawn. It never says more
 * than the summary: no gain where the sides cannot be compared, no interval where there is none.
 */
import type { Result, Standing } from '@fairpull/sdk/contract'
import { type Markup, markup, trustedMarkup } from './markup.ts'
import { decimalsOf, rangeText, signed } from './numbers.ts'
import type { ReportSource } from './report-source.ts'
import { standingSigns } from './sections/head.ts'
import { badgeWords as words } from './words/badge-words.ts'
import { reportWords } from './words/report-words.ts'

const WIDTH = 384
const HEIGHT = 92

/** Grounds of the strip at the left; white text on them has a contrast of at least 7 : 1. */
const grounds: Readonly<Record<Standing | 'withdrawn', string>> = {
  valid: '#14532d',
  limited: '#6b3a00',
  invalid: '#7c1d18',
  withdrawn: '#3b434b',
}

/** The style sheet of the badge. */
export const BADGE_STYLE =
  'text{font-family:system-ui,-apple-system,"Segoe UI",Roboto,"Liberation Sans",sans-serif;font-size:12px;fill:#16202b}.q{fill:#4c5966}.b{font-size:16px;font-weight:700}.w{fill:#fff;font-weight:600}.s{font-size:22px;fill:#fff}'

/** The badge of a summary, an SVG document. The same source gives the same bytes. Pure. */
export function badge({ payload: { issue, result }, status }: ReportSource): Markup {
  const isWithdrawn = status === 'withdrawn'
  const ground = grounds[isWithdrawn ? 'withdrawn' : result.standing]
  const standing = isWithdrawn ? words.withdrawn : reportWords.standingWord[result.standing]
  const { main, detail } = gainLines(result)
  const { used, recorded } = result.accounting
  const runs = words.runs(used.length, recorded)
  const date = issue.issuedAt.slice(0, 10)
  const told = [words.name, standing, main, detail, runs, date].filter((text) => text !== '').join('; ')
  return markup`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" width="${WIDTH}" height="${HEIGHT}" role="img" aria-labelledby="badge-title">
<title id="badge-title">${told}</title><style>${trustedMarkup(BADGE_STYLE)}</style>
<rect width="${WIDTH}" height="${HEIGHT}" fill="#fff"/><rect x=".5" y=".5" width="${WIDTH - 1}" height="${HEIGHT - 1}" fill="none" stroke="#cfd5dc"/>
<rect width="92" height="${HEIGHT}" fill="${ground}"/><text class="s" x="46" y="46" text-anchor="middle">${isWithdrawn ? '⊘' : standingSigns[result.standing]}</text><text class="w" x="46" y="68" text-anchor="middle">${standing}</text>
<text class="q" x="104" y="20">${words.name}</text>
<text class="b" x="104" y="42"${isWithdrawn ? markup` text-decoration="line-through"` : null}>${main}</text>
<text x="104" y="60">${detail}</text>
<text class="q" x="104" y="80">${runs} · ${date}</text>
</svg>
`
}

/** The headline gain in two lines; in an invalid comparison there is none. */
function gainLines({ gains, standing }: Result): { readonly main: string; readonly detail: string } {
  const [headline] = gains.corrected
  if (standing === 'invalid') return { main: words.noGain, detail: words.notComparable }
  if (headline === undefined || headline.relative.estimate === null) return { main: words.noEstimate, detail: '' }
  const { relative } = headline
  const range = rangeText(relative, '%')
  const estimate = `${signed(relative.estimate ?? 0, decimalsOf(relative))} %`
  const main = range === '' ? `${estimate}, ${reportWords.noInterval}` : `${estimate} (${range})`
  return { main, detail: reportWords.subject(headline.of) }
}
