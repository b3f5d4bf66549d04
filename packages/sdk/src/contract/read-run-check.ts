/** The door for single runs: from a value of unknown shape to a run that can be looked at. */
import type { Comparison } from './comparison.ts'
import { type ComparisonProblem, printed } from './field-problem.ts'
import type { Mounting, Setup } from './mounting.ts'
import { readComparison } from './read-comparison.ts'
import type { Run } from './run.ts'
import type { RunCheckRequest } from './run-check.ts'

/** A request that can be read, or every reason why it cannot. */
export type RunCheckReading =
  | { readonly ok: true; readonly request: RunCheckRequest }
  | { readonly ok: false; readonly problems: readonly ComparisonProblem[] }

/** Members of the request, and where the same stands in a comparison. */
const PLACES = {
  protocol: '/protocol',
  run: '/runs/0',
  reportIn: '/reportIn',
  facility: '/facility',
  vehicle: '/vehicles/0',
  driveTyre: '/driveTyres/0',
  mounting: '/mountings/0',
  claims: '/claims',
} as const

/**
 * The request in a value of unknown shape, or what makes it unreadable; the rules are those of `readComparison`.
 *
 * @param value a parsed JSON value; not changed.
 * @returns the request, or its problems with pointers into the request. Pure; never throws.
 */
export function readRunCheck(value: unknown): RunCheckReading {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    const detail = `Found ${printed(value)}; give an object with \`protocol\` and \`run\`.`
    return { ok: false, problems: [{ pointer: '', code: 'ERR_WRONG_TYPE', detail }] }
  }
  const unknown = Object.keys(value).filter((name) => !Object.hasOwn(PLACES, name))
  if (unknown.length > 0) return { ok: false, problems: unknown.slice(0, 50).map(unknownMember) }
  if (!('run' in value)) {
    const detail = 'The run is missing; give it as it would stand in a comparison.'
    return { ok: false, problems: [{ pointer: '/run', code: 'ERR_MISSING_MEMBER', detail }] }
  }
  // The shape is not known yet; `readComparison` decides it.
  const request = value as RunCheckRequest
  const reading = readComparison(comparisonOfRun(request))
  if (!reading.ok) return { ok: false, problems: reading.problems.map(inRequest) }
  return { ok: true, request }
}

function unknownMember(name: string): ComparisonProblem {
  const pointer = `/${name.slice(0, 60).replaceAll('~', '~0').replaceAll('/', '~1')}`
  return { pointer, code: 'ERR_UNKNOWN_MEMBER', detail: 'Nobody knows this member; leave it out.' }
}

function inRequest(problem: ComparisonProblem): ComparisonProblem {
  const place = Object.entries(PLACES).find(([, at]) => problem.pointer.startsWith(at))
  if (place === undefined) return problem
  const [member, at] = place
  return { ...problem, pointer: `/${member}${problem.pointer.slice(at.length)}` }
}

/**
 * The comparison that holds one run and nothing else; references to what is not given are taken out.
 *
 * @param request the run with what stands beside it.
 * @returns the comparison. Pure; never throws, whatever the shape.
 */
export function comparisonOfRun(request: RunCheckRequest): Comparison {
  const { protocol, run, reportIn, facility, vehicle, driveTyre, mounting, claims } = request
  return {
    protocol,
    runs: [withKnownReferences(run, request)],
    ...(reportIn === undefined ? {} : { reportIn }),
    ...(facility === undefined ? {} : { facility }),
    ...(vehicle === undefined ? {} : { vehicles: [vehicle] }),
    ...(driveTyre === undefined ? {} : { driveTyres: [driveTyre] }),
    ...(mounting === undefined ? {} : { mountings: [withKnownReferences(mounting, request)] }),
    ...(claims === undefined ? {} : { claims }),
  }
}

/** Only what is given can be referred to; anything of wrong shape is left for the schema to refuse. */
function withKnownReferences<T extends Run | Mounting>(part: T, request: RunCheckRequest): T {
  if (!isObject(part)) return part
  const { setup } = part
  const kept = isObject(setup) ? { ...part, setup: knownSetup(setup, request) } : part
  return request.mounting === undefined ? without(kept, 'mounting') : kept
}

function knownSetup(setup: Setup, { vehicle, driveTyre, facility }: RunCheckRequest): Setup {
  const gone = [
    ...(vehicle === undefined ? ['vehicle'] : []),
    ...(driveTyre === undefined ? ['driveTyre'] : []),
    ...(facility?.rollers === undefined ? ['rollers'] : []),
  ]
  return gone.reduce((rest, name) => without(rest, name), setup)
}

function without<T extends object>(whole: T, name: string): T {
  return Object.fromEntries(Object.entries(whole).filter(([each]) => each !== name)) as T
}

function isObject(value: unknown): value is object {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
