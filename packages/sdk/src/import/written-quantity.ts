/** Quantities as a person writes them: `250 kPa`, and with what else belongs to them `250 kPa set-cold`. Pure. */
import { unitSpelt } from './unit-spelling.ts'

/** A quantity in its document form. */
export interface WrittenQuantity {
  /** The number. */
  readonly value: number
  /** Unit as the contract spells it; a word that spells none stands as written, for the contract to refuse. */
  readonly unit: string
  /** What stands behind the unit; undefined where nothing does. */
  readonly word: string | undefined
}

const FORM = /^(?<value>[+-−]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(?<unit>[^\d\s,].*)$/

const WITH_WORD = /^(?<unit>.*?)\s*[\s,]\s*(?<word>[a-z]+(?:-[a-z]+)+)$/

/**
 * The quantity in a text; undefined where there is none: no unit, a decimal comma, words.
 *
 * @param text what was written.
 */
export function writtenQuantity(text: string): WrittenQuantity | undefined {
  const { value, unit: rest } = FORM.exec(text.trim())?.groups ?? {}
  if (value === undefined || rest === undefined) return undefined
  const { unit = rest, word } = WITH_WORD.exec(rest)?.groups ?? {}
  const number = Number(value.replace('−', '-'))
  return { value: number === 0 ? 0 : number, unit: unitSpelt(unit) ?? unit, word }
}
