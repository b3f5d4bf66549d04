/**
 * Markup made from texts that somebody else wrote. The one place where text becomes HTML or SVG: whatever is put into a
 * `markup` template is escaped, unless it was made by one itself.
 */

/** A piece of finished markup. Made by `markup`, `joined` and `trustedMarkup` only. */
export interface Markup {
  readonly [finished]: string
}

/** What a template takes: text and numbers are escaped; nothing is written for null and undefined. */
export type Content = Markup | string | number | null | undefined | readonly Content[]

const finished = Symbol('finished')

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
  '`': '&#96;',
}

/**
 * Characters that are not written as they are: those XML 1.0 §2.2 forbids, halves of surrogate pairs, and the marks that
 * turn the direction of the text after them (a name could make the words of the page read backwards).
 */
const UNSAFE =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g

/** Text as it is written between tags and inside quoted attributes, in HTML and in XML alike. Pure. */
export function escapeText(text: string): string {
  return text.replaceAll(UNSAFE, '\ufffd').replaceAll(/[&<>"'`]/g, (character) => ENTITIES[character] ?? '')
}

/** A template of markup: everything put into it is escaped. Attributes must be quoted. */
export function markup(parts: TemplateStringsArray, ...contents: readonly Content[]): Markup {
  return made(parts.map((part, i) => part + (i < contents.length ? written(contents[i]) : '')).join(''))
}

/** Pieces one after another, with markup between them. */
export function joined(pieces: readonly Content[], between: Markup): Markup {
  return made(pieces.map((piece) => written(piece)).join(textOf(between)))
}

/** Takes a text as finished markup. For texts of this program only: its style sheets and scripts, never for data. */
export function trustedMarkup(text: string): Markup {
  return made(text)
}

/** The text of finished markup. */
export function textOf(piece: Markup): string {
  return piece[finished]
}

function made(text: string): Markup {
  return { [finished]: text }
}

function written(content: Content): string {
  if (content === null || content === undefined) return ''
  if (typeof content === 'string') return escapeText(content)
  if (typeof content === 'number') return escapeText(String(content))
  return isMany(content) ? content.map((each) => written(each)).join('') : content[finished]
}

function isMany(content: Markup | readonly Content[]): content is readonly Content[] {
  return Array.isArray(content)
}
