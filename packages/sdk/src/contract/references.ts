/** Identities and what refers to them. */
import type { DocumentParts, Located } from './document-parts.ts'
import { type ComparisonProblem, listed, printed } from './field-problem.ts'
import { didYouMean } from './nearest-name.ts'

/** The identities of one kind. */
interface Identities {
  readonly what: string
  readonly place: string
  readonly parts: readonly Located<{ readonly id: string }>[]
}

/**
 * Identities that stand twice, and references to nothing.
 *
 * A reference is looked up only where every identity of its kind can be read. Pure; never throws.
 */
export function referenceProblems(parts: DocumentParts): readonly ComparisonProblem[] {
  const runs: Identities = { what: 'run', place: '/runs', parts: parts.runs }
  const mountings: Identities = { what: 'mounting', place: '/mountings', parts: parts.mountings }
  const vehicle: Identities = { what: 'vehicle', place: '/vehicles', parts: parts.vehicles }
  const rollers: Identities = { what: 'roller set', place: '/facility/rollers', parts: parts.rollers }
  const driveTyre: Identities = { what: 'drive tyre', place: '/driveTyres', parts: parts.driveTyres }
  const claims: Identities = { what: 'claim', place: '/claims', parts: parts.claims }
  const setups = [...parts.mountings, ...parts.runs]
  return [
    ...[vehicle, rollers, driveTyre, mountings, runs, claims].flatMap(duplicates),
    ...references(parts, mountings, 'mounting', parts.runs, ({ mounting }) => mounting),
    ...references(parts, vehicle, 'setup/vehicle', setups, ({ setup }) => setup?.vehicle),
    ...references(parts, rollers, 'setup/rollers', setups, ({ setup }) => setup?.rollers),
    ...references(parts, driveTyre, 'setup/driveTyre', setups, ({ setup }) => setup?.driveTyre),
    ...references(parts, runs, 'run', parts.excluded, ({ run }) => run),
    ...exclusionProblems(parts),
  ]
}

function duplicates({ what, parts }: Identities): readonly ComparisonProblem[] {
  const first = new Map<string, string>()
  return parts.flatMap(({ item, pointer }) => {
    const earlier = first.get(item.id)
    if (earlier === undefined) {
      first.set(item.id, pointer)
      return []
    }
    const detail = `The id ${printed(item.id)} is already that of ${earlier}; give each ${what} an id of its own.`
    return [{ pointer: `${pointer}/id`, code: 'ERR_DUPLICATE_ID', detail }]
  })
}

function references<T>(
  { incomplete }: DocumentParts,
  { what, place, parts }: Identities,
  member: string,
  referring: readonly Located<T>[],
  idOf: (item: T) => string | undefined,
): readonly ComparisonProblem[] {
  if (incomplete.has(place)) return []
  const known = parts.map(({ item }) => item.id)
  const isKnown = new Set(known)
  const unknown = referring.flatMap(({ item, pointer }) => {
    const id = idOf(item)
    return id === undefined || isKnown.has(id) ? [] : [{ id, pointer }]
  })
  return unknown.slice(0, EXPLAINED).map(({ id, pointer }) => {
    const lists = known.length === 0 ? `${place} lists none` : `${place} lists: ${someOf(known)}`
    const detail = `No ${what} has the id ${printed(id)}; ${lists}.${didYouMean(id, known)} Correct the id or add it there.`
    return { pointer: `${pointer}/${member}`, code: 'ERR_UNKNOWN_REFERENCE', detail }
  })
}

/** More than are ever listed, so that the reader still sees that there are more. */
const EXPLAINED = 100

const SHOWN = 10

function someOf(ids: readonly string[]): string {
  const rest = ids.length - SHOWN
  return rest > 0 ? `${listed(ids.slice(0, SHOWN))} and ${rest} more` : listed(ids)
}

/** Only a measured run can be left out, and only once: two rules for one run would leave open which one counts. */
function exclusionProblems({ runs, excluded }: DocumentParts): readonly ComparisonProblem[] {
  const purposes = new Map(runs.map(({ item }) => [item.id, item.purpose]))
  const seen = new Set<string>()
  return excluded.flatMap(({ item, pointer }): readonly ComparisonProblem[] => {
    const purpose = purposes.get(item.run)
    const at = `${pointer}/run`
    const id = printed(item.run)
    if (seen.has(item.run)) {
      const detail = `The run ${id} is excluded twice; keep the one rule it is left out under.`
      return [{ pointer: at, code: 'ERR_DUPLICATE_ID', detail }]
    }
    seen.add(item.run)
    if (purpose === undefined || purpose === 'measured') return []
    const detail =
      `The run ${id} was for ${purpose}, and only measured runs can be excluded. ` +
      'Take it off this list: runs that were not for measuring never enter the figures.'
    return [{ pointer: at, code: 'ERR_EXCLUDED_NOT_MEASURED', detail }]
  })
}
