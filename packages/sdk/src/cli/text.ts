/** Text for a terminal: cleaned, wrapped, aligned. Pure. */

/** A blank at which no line is broken; to be turned into a blank when a line is done. */
export const HARD_BLANK = '\u00a0'

/** Characters of a text as a terminal shows them. [columns] */
export function widthOf(text: string): number {
  let width = 0
  for (const character of text) {
    if (/\p{M}/u.test(character)) continue
    width += /[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}\p{Emoji_Presentation}]/u.test(
      character,
    )
      ? 2
      : 1
  }
  return width
}

/**
 * A text without anything that moves a cursor, colours, or turns the direction of writing.
 *
 * Files and answers come from elsewhere; what they say is shown, never obeyed. Line ends and tabs become blanks.
 */
export function printable(text: string): string {
  return text
    .replace(/[\t\r\n]+/g, ' ')
    .replace(/[\p{Cc}\p{Cs}\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]/gu, '\ufffd')
}

const plainWords: readonly (readonly [RegExp, string])[] = [
  [/[−–—‑]/g, '-'],
  [/[‘’]/g, "'"],
  [/[“”]/g, '"'],
  [/…/g, '...'],
  [/×/g, 'x'],
  [/·/g, '*'],
  [/±/g, '+/-'],
  [/≥/g, '>='],
  [/≤/g, '<='],
  [/°/g, 'deg '],
  [/²/g, '2'],
  [/[µμ]/g, 'u'],
  [/[\u00a0\u202f\u2009]/g, ' '],
]

/** A text in ASCII: signs as their plain words, accents dropped, what is left as a question mark. */
export function asciiOf(text: string): string {
  const replaced = plainWords.reduce((done, [sign, word]) => done.replace(sign, word), text)
  return replaced
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .replace(/[^\n\x20-\x7e]/gu, '?')
}

/**
 * A text in lines of at most `width` columns, broken at blanks; a word that is longer is cut.
 *
 * @param first what the first line begins with, for example a bullet.
 * @param indent what the further lines begin with. Default: blanks as wide as `first`.
 */
export function wrap(text: string, width: number, first = '', indent = ' '.repeat(widthOf(first))): string[] {
  const lines: string[] = []
  let line = first
  let isEmpty = true
  for (const word of text.split(/ +/).flatMap((each) => pieces(each, width - widthOf(indent)))) {
    if (word === '') continue
    if (!isEmpty && widthOf(line) + 1 + widthOf(word) > width) {
      lines.push(line)
      line = indent
      isEmpty = true
    }
    line += isEmpty ? word : ` ${word}`
    isEmpty = false
  }
  return isEmpty && lines.length > 0 ? lines : [...lines, line.trimEnd()]
}

function pieces(word: string, width: number): string[] {
  const letters = Array.from(word)
  const parts: string[] = []
  for (let at = 0; at < letters.length; at += width) parts.push(letters.slice(at, at + width).join(''))
  return parts
}

/** A text with blanks behind it up to a width. */
export function padded(text: string, width: number): string {
  return text + ' '.repeat(Math.max(0, width - widthOf(text)))
}

/** A phrase as a sentence begins. */
export function capitalised(phrase: string): string {
  return `${phrase.charAt(0).toUpperCase()}${phrase.slice(1)}`
}

/** `1 run`, `3 runs`. */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`
}

/** A word as it is typed in a shell: in quotation marks where it holds what a shell would take apart. */
export function shellWord(word: string): string {
  return /^[\w./:@=,+-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`
}
