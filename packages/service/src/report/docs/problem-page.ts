/** The page behind the `type` of an error answer. Pure. */
import { markup } from '../markup.ts'
import { facts, type Page, page } from '../page.ts'
import { pageStyle } from '../page-style.ts'
import { inline } from '../prose.ts'
import { docsWords as words } from '../words/docs-words.ts'

/** What is told of a type of error. */
export interface ProblemAbout {
  readonly code: string
  readonly status: number
  readonly title: string
  readonly about: string
}

/** The page. */
export function problemPage({ code, status, title, about }: ProblemAbout): Page {
  return page({
    title,
    language: words.language,
    style: pageStyle(),
    body: markup`<main><h1>${title}</h1>
<p>${inline(about)}</p>
${facts([
  [words.code, markup`<code>${code}</code>`],
  [words.status, String(status)],
])}
<p><a href="/docs">${words.back}</a></p></main>`,
  })
}
