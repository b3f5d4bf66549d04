/** The code blocks of a Markdown document, each with what the document says of running it. */

/** One fenced code block. */
export interface CodeBlock {
  /** Line of the opening fence, from 1. */
  readonly line: number
  /** Language after the opening fence; empty where there is none. */
  readonly language: string
  /** What stands between the fences. */
  readonly text: string
  /** First line that running it prints, `…` for whatever varies; undefined where the document does not say. */
  readonly firstLine: string | undefined
  /** Exit code that the document states; 0 where it says nothing. */
  readonly exitCode: number
}

const FENCE = /^```(\S*)[^\n]*\n([\s\S]*?)\n```$/gm
const EXPECTED = /^\n+(?:<!-- exit code: (\d+) -->\n)?<!-- first line: (.*) -->/

/**
 * Every fenced code block of a document.
 *
 * What running a block prints is stated below it in a comment, `<!-- first line: … -->`, which readers of the rendered
 * page do not see; `<!-- exit code: 3 -->` stands before it where the code is not 0.
 */
export function codeBlocks(markdown: string): readonly CodeBlock[] {
  return [...markdown.matchAll(FENCE)].map((match) => {
    const [whole, language = '', text = ''] = match
    const below = EXPECTED.exec(markdown.slice(match.index + whole.length))
    return {
      line: markdown.slice(0, match.index).split('\n').length,
      language,
      text,
      firstLine: below?.[2],
      exitCode: Number(below?.[1] ?? 0),
    }
  })
}

/** Whether a printed line is the expected one, in which `…` stands for any text. */
export function isAsStated(printed: string, stated: string): boolean {
  const parts = stated.split('…').map((part) => part.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&'))
  return new RegExp(`^${parts.join('.*')}$`).test(printed)
}
