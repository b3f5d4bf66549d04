/** How the output looks: colours, signs, width. */
import { asciiOf, printable } from './text.ts'

/** What is known of the place the text goes to. */
export interface LookOptions {
  /** Columns. Default 80, never more. */
  readonly width?: number
  /** Colours. Default none. */
  readonly color?: boolean
  /** ASCII characters only. Default: no. */
  readonly plain?: boolean
}

/** Signs of the output. */
export interface Signs {
  readonly good: string
  readonly bad: string
  readonly middling: string
  readonly open: string
  readonly bullet: string
  readonly minus: string
  readonly arrow: string
}

/** Colour names, as far as they are used. */
export type Tint = 'good' | 'bad' | 'middling' | 'heading' | 'quiet'

/** Colours, signs and width of one output. */
export interface Look {
  /** Columns. */
  readonly width: number
  /** Whether only ASCII characters are used. */
  readonly isPlain: boolean
  /** Signs. */
  readonly signs: Signs
  /** A text in a colour; the text itself without colours. */
  readonly tint: (tint: Tint, text: string) => string
  /** A text from elsewhere, made safe to show. */
  readonly words: (text: string) => string
}

const WIDTH = 80

const unicodeSigns: Signs = { good: '✓', bad: '✗', middling: '!', open: '?', bullet: '•', minus: '−', arrow: '→' }
const asciiSigns: Signs = { good: '+', bad: 'x', middling: '!', open: '?', bullet: '*', minus: '-', arrow: '->' }

const codes: Readonly<Record<Tint, string>> = { good: '32', bad: '31', middling: '33', heading: '1', quiet: '2' }

/** The look of one output. */
export function createLook(options: LookOptions = {}): Look {
  const { width = WIDTH, color = false, plain = false } = options
  return {
    width: Math.max(40, Math.min(width, WIDTH)),
    isPlain: plain,
    signs: plain ? asciiSigns : unicodeSigns,
    tint: (tint, text) => (color && text !== '' ? `\u001b[${codes[tint]}m${text}\u001b[0m` : text),
    words: plain ? (text) => asciiOf(printable(text)) : printable,
  }
}
