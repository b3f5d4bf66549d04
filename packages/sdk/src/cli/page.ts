/** A page of text that is built line by line. */
import type { Look, Tint } from './look.ts'
import { HARD_BLANK, wrap } from './text.ts'

/** The blank between a number and its unit. */
const UNIT_GAP = /(?<=\d) (?=(?:%|kW|hp|PS|N m|rpm|K|kPa|mm|°C|degC|min|s)(?![\p{L}\p{N}]))/gu

/** Options of one paragraph. */
export interface ParagraphOptions {
  /** What the first line begins with. */
  readonly first?: string
  /** Colour of the whole paragraph. */
  readonly tint?: Tint
}

/** A page under construction. */
export interface Page {
  /** Look of the page. */
  readonly look: Look
  /** Lines so far. */
  readonly lines: string[]
  /** Begins a section, after an empty line. */
  readonly section: (title: string) => void
  /** Adds a text from elsewhere, made safe and wrapped. */
  readonly say: (text: string, options?: ParagraphOptions) => void
  /** Adds lines as they are. */
  readonly put: (...lines: readonly string[]) => void
}

/** An empty page. */
export function createPage(look: Look): Page {
  const lines: string[] = []
  return {
    look,
    lines,
    section: (title) => {
      if (lines.length > 0) lines.push('')
      lines.push(...wrap(title, look.width).map((line) => look.tint('heading', line)))
    },
    say: (text, { first = '', tint } = {}) => {
      const wrapped = wrap(look.words(text).replace(UNIT_GAP, HARD_BLANK), look.width, first)
      const shown = wrapped.map((line) => line.replaceAll(HARD_BLANK, ' '))
      lines.push(...shown.map((line) => (tint === undefined ? line : look.tint(tint, line))))
    },
    put: (...more) => {
      lines.push(...more)
    },
  }
}
