/** One figure of a bench. */
export interface Row {
  /** What was measured. */
  readonly what: string
  /** What came out, with its unit; a ratio names both sides. */
  readonly figure: string
  /** What was aimed at, and whether it was reached; empty for a figure that only informs. */
  readonly target: string
}

/** What one part of the bench found. */
export interface Section {
  readonly title: string
  readonly rows: readonly Row[]
  /** How it was measured, and what it does not show. */
  readonly notes: readonly string[]
}

/** The page with the section of one part replaced, the others as they were. Pure. */
export function withSection(page: string, name: string, section: Section & { readonly facts: string }): string {
  const [start, end] = [`<!-- ${name}:start -->`, `<!-- ${name}:end -->`]
  const [before, rest] = page.split(start)
  const after = rest?.split(end)[1]
  if (before === undefined || after === undefined) throw new RangeError(`the page has no place for ${name}`)
  return `${before}${start}\n${textOf(section)}\n${end}${after}`
}

function textOf({ title, rows, notes, facts }: Section & { readonly facts: string }): string {
  const table = [
    '| what | figure | aim |',
    '|---|---|---|',
    ...rows.map(({ what, figure, target }) => `| ${what} | ${figure} | ${target} |`),
  ]
  return [`## ${title}`, '', facts, '', ...table, '', ...notes.map((note) => `- ${note}`)].join('\n')
}

/** Whether a figure reached its aim, as the page says it. */
export function against(aim: string, isReached: boolean): string {
  return `${aim}: ${isReached ? 'reached' : 'not reached'}`
}
