/** What an operator's command works with: words in, sentences out. */

/** Where a command speaks to. */
export interface Console {
  /** What was asked for, on stdout. */
  readonly print: (line: string) => void
  /** What the operator should know, on stderr. */
  readonly say: (sentence: string) => void
}

/** The command was not understood, or cannot be carried out; its message says why. Exit code 2. */
export class Misuse extends Error {
  override readonly name = 'Misuse'
}

/** A table of texts in columns of equal width. */
export function columns(rows: readonly (readonly string[])[]): readonly string[] {
  const widths = (rows[0] ?? []).map((_, at) => Math.max(...rows.map((row) => row[at]?.length ?? 0)))
  return rows.map((row) =>
    row
      .map((text, at) => text.padEnd(widths[at] ?? 0))
      .join('  ')
      .trimEnd(),
  )
}
