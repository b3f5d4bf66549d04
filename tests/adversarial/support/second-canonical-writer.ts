/**
 * A second writer of RFC 8785, made from the text of the RFC alone: it uses neither JSON.stringify nor the number
 * formatting of the platform beyond `toExponential` with a given number of digits.
 */
export function writeCanonically(value: unknown): string {
  if (value === null) return 'null'
  if (typeof value === 'boolean') return value ? 'true' : 'false'
  if (typeof value === 'number') return writeNumber(value)
  if (typeof value === 'string') return writeString(value)
  if (Array.isArray(value)) return `[${value.map(writeCanonically).join(',')}]`
  if (typeof value === 'object') return writeObject(value as Readonly<Record<string, unknown>>)
  throw new TypeError(`JSON has no ${typeof value}`)
}

/** §3.2.3: members in the order of their names as arrays of UTF-16 code units. */
function writeObject(object: Readonly<Record<string, unknown>>): string {
  const names = Object.keys(object).sort(byCodeUnits)
  return `{${names.map((name) => `${writeString(name)}:${writeCanonically(object[name])}`).join(',')}}`
}

function byCodeUnits(one: string, other: string): number {
  for (let at = 0; at < Math.min(one.length, other.length); at += 1) {
    const difference = one.charCodeAt(at) - other.charCodeAt(at)
    if (difference !== 0) return difference
  }
  return one.length - other.length
}

const shortEscapes: Readonly<Record<string, string>> = {
  '\b': '\\b',
  '\t': '\\t',
  '\n': '\\n',
  '\f': '\\f',
  '\r': '\\r',
  '"': '\\"',
  '\\': '\\\\',
}

/** §3.2.2.2: only quotation mark, reverse solidus and the control characters below U+0020 are escaped. */
function writeString(text: string): string {
  const written = Array.from(text, (character) => {
    const short = shortEscapes[character]
    if (short !== undefined) return short
    const code = character.charCodeAt(0)
    return code < 0x20 ? `\\u${code.toString(16).padStart(4, '0')}` : character
  })
  return `"${written.join('')}"`
}

/** §3.2.2.3, ECMA-262 Number::toString: the fewest digits that read back, point or exponent by the place of the point. */
function writeNumber(value: number): string {
  if (value === 0) return '0'
  if (value < 0) return `-${writeNumber(-value)}`
  const { digits, exponent } = shortest(value)
  const count = digits.length
  if (count <= exponent && exponent <= 21) return digits + '0'.repeat(exponent - count)
  if (exponent > 0 && exponent <= 21) return `${digits.slice(0, exponent)}.${digits.slice(exponent)}`
  if (exponent > -6 && exponent <= 0) return `0.${'0'.repeat(-exponent)}${digits}`
  const power = `e${exponent > 0 ? '+' : '-'}${Math.abs(exponent - 1)}`
  return count === 1 ? digits + power : `${digits.charAt(0)}.${digits.slice(1)}${power}`
}

function shortest(value: number): { readonly digits: string; readonly exponent: number } {
  for (let places = 0; places <= 16; places += 1) {
    const [mantissa = '', power = ''] = value.toExponential(places).split('e')
    if (Number(`${mantissa}e${power}`) === value) {
      return { digits: evenOfTwo(value, places, mantissa.replace('.', '')), exponent: Number(power) + 1 }
    }
  }
  throw new RangeError('17 digits always read back')
}

/** Half way between two texts, ECMA-262 takes the even one, `toExponential` the larger one. */
function evenOfTwo(value: number, places: number, digits: string): string {
  const beyond = value
    .toExponential(60)
    .replace('.', '')
    .slice(places + 1)
  const isHalfWay = /^50*e/.test(beyond)
  return isHalfWay && Number(digits.at(-1)) % 2 === 1 ? String(BigInt(digits) - 1n) : digits
}
