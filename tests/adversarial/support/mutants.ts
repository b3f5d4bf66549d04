const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_'

/**
 * Every text that is one small accident away: each bit of each byte flipped, each byte dropped, doubled, exchanged with
 * the next one, and each of a few bytes inserted before it.
 */
export function* byteMutants(text: string): Generator<string> {
  for (let at = 0; at < text.length; at += 1) {
    const [before, character, after] = [text.slice(0, at), text.charAt(at), text.slice(at + 1)]
    for (let bit = 0; bit < 8; bit += 1) {
      yield before + String.fromCharCode(text.charCodeAt(at) ^ (1 << bit)) + after
    }
    yield before + after
    yield before + character + character + after
    yield before + after.charAt(0) + character + after.slice(1)
    for (const inserted of ['A', '=', '.', ' ', '\u0000', ALPHABET.charAt(at % 64)]) {
      yield before + inserted + character + after
    }
  }
}

/** Every text of JSON in which two tokens of one kind have changed places, or a word became its opposite. */
export function* tokenMutants(json: string): Generator<string> {
  const opposites: Readonly<Record<string, string>> = { true: 'false', false: 'true', null: '0' }
  for (const kind of [/"(?:[^"\\]|\\.)*"(?=:)/g, /"(?:[^"\\]|\\.)*"(?!:)/g, /-?\d+(?:\.\d+)?(?=[,\]}])/g]) {
    const tokens = [...json.matchAll(kind)]
    for (const [index, one] of tokens.entries()) {
      const other = tokens.slice(index + 1).find(([text]) => text !== one[0])
      if (other === undefined) continue
      yield json.slice(0, one.index) +
        other[0] +
        json.slice(one.index + one[0].length, other.index) +
        one[0] +
        json.slice(other.index + other[0].length)
    }
  }
  for (const word of json.matchAll(/(?<=[:,[])(?:true|false|null)(?=[,\]}])/g)) {
    yield json.slice(0, word.index) + (opposites[word[0]] ?? '') + json.slice(word.index + word[0].length)
  }
}

/** Every document in which one member was dropped or renamed, or one array turned round, cut short or repeated. */
export function documentMutants(document: unknown): unknown[] {
  const mutants: unknown[] = []
  visit(document, (replacement) => replacement, mutants)
  return mutants
}

type Rebuild = (replacement: unknown) => unknown

function visit(value: unknown, rebuild: Rebuild, mutants: unknown[]): void {
  if (Array.isArray(value)) visitArray(value, rebuild, mutants)
  else if (typeof value === 'object' && value !== null) visitObject(value, rebuild, mutants)
  else if (typeof value === 'number') mutants.push(rebuild(value + 1), rebuild(String(value)), rebuild(null))
  else if (typeof value === 'string') mutants.push(rebuild(`${value} `), rebuild(''))
}

function visitArray(array: readonly unknown[], rebuild: Rebuild, mutants: unknown[]): void {
  mutants.push(rebuild([...array, ...array, 'more']), rebuild(null))
  if (array.length > 0) mutants.push(rebuild(array.slice(1)))
  if (array.length > 1) mutants.push(rebuild(array.toReversed()))
  for (const [index, element] of array.entries()) {
    visit(element, (replacement) => rebuild(array.with(index, replacement)), mutants)
  }
}

function visitObject(object: object, rebuild: Rebuild, mutants: unknown[]): void {
  for (const [name, member] of Object.entries(object)) {
    const others = Object.fromEntries(Object.entries(object).filter(([other]) => other !== name))
    mutants.push(rebuild(others), rebuild({ ...others, [`${name}_`]: member }), rebuild({ ...object, [`${name}_`]: 0 }))
    visit(member, (replacement) => rebuild({ ...object, [name]: replacement }), mutants)
  }
}
