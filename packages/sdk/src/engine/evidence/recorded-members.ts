import type { Session, SessionRun } from '../inputs/session.ts'
import { vehicleOf } from '../inputs/session.ts'

/** What was recorded of a run, flat: name of the member, for example `setup/tune`, to its JSON text. */
export type RecordedMembers = ReadonlyMap<string, string>

/**
 * Everything that was written down of how a run was made: its setup and strapping, its vehicle, tyre and rollers, how its figures
 * were processed, where they came from, and how its channels and probes are set.
 *
 * Found by walking what is there, not from a list of suspects. What was measured (air, temperatures, curves) is not among
 * it: that varies by nature, and has checks of its own.
 *
 * @param run the run.
 * @param session for what the run refers to.
 * @returns members by name; those that were not recorded are absent. Pure; never throws.
 */
export function recordedMembers(run: SessionRun, session: Session): RecordedMembers {
  const { facility, driveTyres } = session.comparison
  const { channels, origin } = run.wire
  return new Map([
    ...membersOf('setup', run.setup),
    ...membersOf('processing', run.processing),
    ...membersOf('vehicle', vehicleOf(session, run)),
    ...membersOf(
      'driveTyre',
      driveTyres?.find(({ id }) => id === run.setup.driveTyre),
    ),
    ...membersOf(
      'rollers',
      facility?.rollers?.find(({ id }) => id === run.setup.rollers),
    ),
    ...membersOf('channels/mixture', channels?.mixture, ['values', 'base64', 'unit']),
    ...membersOf('conditions/intakeAirTemperature', intakePlace(run)),
    ...membersOf('mounting', strappingOf(run, session)),
    ...membersOf('run', origin === undefined ? undefined : { origin }),
  ])
}

/** Names that mark a thing, and say nothing of what it is like. */
const IDENTITIES = ['id', 'label']

function membersOf(
  path: string,
  record: object | undefined,
  without: readonly string[] = IDENTITIES,
): (readonly [string, string])[] {
  return Object.entries(record ?? {})
    .filter(([name]) => !without.includes(name))
    .map(([name, value]) => [`${path}/${name}`, canonicalText(value)] as const)
}

function intakePlace({ conditions }: SessionRun): object | undefined {
  if (conditions.intakeAirOutside_K !== null) return { place: 'outside-machine' }
  return conditions.intakeAirInside_K === null ? undefined : { place: 'inside-tract' }
}

/** Tension and length under the straps are read afresh at each mounting; how the machine is strapped down is set. */
function strappingOf({ wire }: SessionRun, { comparison }: Session): object | undefined {
  const strapping = comparison.mountings?.find(({ id }) => id === wire.mounting)?.strapping
  return strapping === undefined ? undefined : { strapping }
}

/** JSON text with members in the order of their names, so that how a document is written does not count. */
function canonicalText(value: unknown): string {
  return JSON.stringify(value, (_, member: unknown) =>
    typeof member === 'object' && member !== null && !Array.isArray(member)
      ? Object.fromEntries(Object.entries(member).toSorted(([a], [b]) => (a < b ? -1 : 1)))
      : member,
  )
}
