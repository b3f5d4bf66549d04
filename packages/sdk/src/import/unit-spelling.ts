/** Units as exports spell them: below a header, in brackets behind it, or after a stroke. Pure. */
import { type QuantityKind, type UnitOf, units } from '../contract/index.ts'

/** Spellings outside the contract, in lower case without blanks and dots, and the unit each stands for. */
const otherSpellings: Readonly<Record<string, UnitOf>> = {
  '1/min': 'rpm',
  'min-1': 'rpm',
  'u/min': 'rpm',
  'r/min': 'rpm',
  'rev/min': 'rpm',
  'tr/min': 'rpm',
  'giri/min': 'rpm',
  nm: 'N m',
  'lb-ft': 'lbf ft',
  lbft: 'lbf ft',
  'lbf-ft': 'lbf ft',
  'lbs-ft': 'lbf ft',
  'ft-lb': 'lbf ft',
  'ft-lbs': 'lbf ft',
  'ft-lbf': 'lbf ft',
  ftlb: 'lbf ft',
  ftlbs: 'lbf ft',
  kgm: 'kgf m',
  mkg: 'kgf m',
  bhp: 'hp',
  ch: 'PS',
  cv: 'PS',
  pk: 'PS',
  kmh: 'km/h',
  kph: 'km/h',
  c: 'degC',
  f: 'degF',
  sec: 's',
  sek: 's',
  msec: 'ms',
  lambda: '1',
  afr: '1',
  percent: '%',
}

const contractSpellings = Object.fromEntries(
  Object.values(units)
    .flatMap((each) => each.map((unit): [string, UnitOf] => [bare(unit), unit]))
    .filter(([spelt]) => spelt !== ''),
)

/**
 * The unit that a text spells; undefined where it spells none.
 *
 * Case, blanks, dots, brackets and signs of superscript are not looked at.
 *
 * @param kind only units of this kind. Default: any.
 */
export function unitSpelt(text: string, kind?: QuantityKind): UnitOf | undefined {
  const spelt = bare(text)
  const unit = Object.hasOwn(contractSpellings, spelt) ? contractSpellings[spelt] : otherSpellings[spelt]
  if (unit === undefined || kind === undefined) return unit
  const ofKind: readonly string[] = units[kind]
  return ofKind.includes(unit) ? unit : undefined
}

/** What a header says besides its unit, and the unit: `Power [kW]`, `n in 1/min`, `Leistung/PS`, `TPS %`. */
export interface HeaderParts {
  /** Header without the unit. */
  readonly name: string
  /** Unit it spells; undefined where it spells none. */
  readonly unit: UnitOf | undefined
}

const BRACKETED = /^(?<name>.*?)\s*[[({<](?<unit>[^\])}>]+)[\])}>]\s*$/

const UNBRACKETED = [
  /^(?<name>.*\S)\s+in\s+(?<unit>\S+)$/,
  /^(?<name>[^/]+\S)\s*\/\s*(?<unit>\S+)$/,
  /^(?<name>.*\S)[\s_,;:]+(?<unit>\S+)$/,
]

/** Words that are units and much else besides, such as the end of "Leistung Rad" or "power min": without brackets no units. */
const otherWords: readonly string[] = [
  'rad',
  'min',
  'in',
  'ft',
  'm',
  's',
  'h',
  'k',
  'c',
  'f',
  'w',
  'g',
  'n',
  '1',
  'bar',
]

/** A header taken apart. A header that is a unit and nothing else, such as `RPM`, has it as name and unit. */
export function headerParts(header: string): HeaderParts {
  const bracketed = partsBy(BRACKETED, header)
  if (bracketed !== undefined) return bracketed
  for (const pattern of UNBRACKETED) {
    const parts = partsBy(pattern, header, otherWords)
    if (parts !== undefined) return parts
  }
  return { name: header, unit: otherWords.includes(header.toLowerCase()) ? undefined : unitSpelt(header) }
}

function partsBy(pattern: RegExp, header: string, excepted: readonly string[] = []): HeaderParts | undefined {
  const { name, unit } = pattern.exec(header)?.groups ?? {}
  const spelt = unit === undefined || excepted.includes(unit.toLowerCase()) ? undefined : unitSpelt(unit)
  return name === undefined || spelt === undefined ? undefined : { name: name.trim(), unit: spelt }
}

function bare(text: string): string {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[[\](){}<>\s.·*°^]/g, '')
    .replaceAll('deg', '')
    .replaceAll('−', '-')
    .replaceAll('λ', 'lambda')
}
