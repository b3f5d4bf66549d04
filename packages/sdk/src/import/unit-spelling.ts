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

const WITH_UNIT = [
  /^(?<name>.*?)\s*[[({<](?<unit>[^\])}>]+)[\])}>]\s*$/,
  /^(?<name>.*\S)\s+in\s+(?<unit>\S+)$/,
  /^(?<name>[^/]+\S)\s*\/\s*(?<unit>\S+)$/,
  /^(?<name>.*\S)[\s_,;:]+(?<unit>\S+)$/,
]

/** A header taken apart. A header that is a unit and nothing else, such as `RPM`, has it as name and unit. */
export function headerParts(header: string): HeaderParts {
  for (const pattern of WITH_UNIT) {
    const { name, unit } = pattern.exec(header)?.groups ?? {}
    const spelt = unit === undefined ? undefined : unitSpelt(unit)
    const isSensorNumber = unit === '1' && !/[[({<]/.test(header)
    if (name !== undefined && spelt !== undefined && !isSensorNumber) return { name: name.trim(), unit: spelt }
  }
  return { name: header, unit: header.length > 1 ? unitSpelt(header) : undefined }
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
