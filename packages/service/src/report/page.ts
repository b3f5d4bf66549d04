/**
 * A page: self-contained, and under a policy that lets nothing in. The policy stands in the page itself as well, so that
 * a saved copy keeps it.
 */
import { createHash } from 'node:crypto'
import { type Content, type Markup, markup, textOf, trustedMarkup } from './markup.ts'

/** What a page is made of. */
export interface PageParts {
  readonly title: string
  /** Language of its texts. */
  readonly language: string
  /** Its style sheet. */
  readonly style: string
  /** What stands in the body. */
  readonly body: Content
}

/** A page and the policy it is to be sent with. */
export interface Page {
  /** The document. */
  readonly html: string
  /** Value of the `Content-Security-Policy` field. */
  readonly policy: string
}

/** The page. Pure. */
export function page({ title, language, style, body }: PageParts): Page {
  const policy = `default-src 'none'; style-src '${contentHash(style)}'; base-uri 'none'; form-action 'none'`
  const document = markup`<!doctype html>
<html lang="${language}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${trustedMarkup(style)}</style>
</head>
<body>
${body}
</body>
</html>
`
  // Where it may be framed can be said in a header field only.
  return { html: textOf(document), policy: `${policy}; frame-ancestors 'none'` }
}

/** Source expression that permits exactly this style sheet or script. Content Security Policy Level 3, §2.3.1. */
export function contentHash(text: string): string {
  return `sha256-${createHash('sha256').update(text).digest('base64')}`
}

/** Facts as a list of terms and what they are; terms without content are left out. */
export function facts(entries: readonly (readonly [string, Content])[]): Markup {
  const shown = entries.filter(([, content]) => content !== null && content !== undefined && content !== '')
  return markup`<dl class="facts">${shown.map(([term, content]) => markup`<dt>${term}</dt><dd>${content}</dd>`)}</dl>`
}

/** A section with its heading. */
export function section(id: string, heading: string, ...content: readonly Content[]): Markup {
  return markup`<section aria-labelledby="${id}"><h2 id="${id}">${heading}</h2>
${content}
</section>
`
}
