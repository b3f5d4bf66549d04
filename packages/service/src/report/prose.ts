/** Descriptions in the document: paragraphs, lists with `- `, and code between backticks; nothing more of Markdown. Pure. */
import { type Markup, markup } from './markup.ts'

/** A description as markup. */
export function prose(text: string): Markup {
  return markup`${text
    .split('\n\n')
    .filter((block) => block !== '')
    .map(block)}`
}

/** Text in one line, code between backticks. */
export function inline(text: string): Markup {
  return markup`${text.split('`').map((piece, i) => (i % 2 === 1 ? markup`<code>${piece}</code>` : piece))}`
}

function block(text: string): Markup {
  const lines = text.split('\n')
  const items = lines.filter((line) => line.startsWith('- ')).map((line) => line.slice(2))
  const rest = lines.filter((line) => !line.startsWith('- ')).join(' ')
  return markup`${rest === '' ? null : markup`<p>${inline(rest)}</p>`}${
    items.length === 0 ? null : markup`<ul>${items.map((item) => markup`<li>${inline(item)}</li>`)}</ul>`
  }`
}
