/** A study that grew from ordinary work: the runs of the unchanged machine out of one session or several. */
import type { Comparison, Mounting, RecordScope, Run, Study, StudyBand, Vehicle } from '../contract/index.ts'
import { ImportError, problemOf } from './import-error.ts'
import { parseStudy } from './study-file.ts'

/** A session, and what its folder is called. */
export interface SessionForStudy {
  /** Tells its mountings and runs from those of other sessions. */
  readonly name: string
  /** The session. */
  readonly comparison: Comparison
}

/** What sessions do not say of a study. */
export interface StudyOptions {
  /** Band of engine speeds. Absent: that of the first claim for a band. */
  readonly band?: StudyBand
  /** What the record will apply to; a part that is absent is what the sessions state. */
  readonly appliesTo?: Partial<RecordScope>
  /** What the study is called. */
  readonly name?: string
}

/**
 * The study in sessions of one machine at one facility: all runs of the baseline side, in all their mountings.
 *
 * Runs of a changed machine are left out: they are not of the unchanged one. Of several sessions, each mounting and run is
 * called after its session.
 *
 * @throws ImportError when there is no session, or they are of several machines or facilities, or do not state what the
 *   record will apply to; with every member that does not fit.
 */
export function studyOfSessions(sessions: readonly SessionForStudy[], options: StudyOptions = {}): Study {
  const [first] = sessions
  if (first === undefined) throw refused('there is no session.', 'Name at least one session folder.')
  const { protocol, reportIn, facility } = first.comparison
  const vehicle = machineOf(first)
  for (const session of sessions) requireSame(session, first, vehicle)
  const { band = claimedBand(sessions), appliesTo, name } = options
  if (band === undefined) throw refused('no band of engine speeds is named.', 'Name one, such as 4000 to 9000 rpm.')

  const parts = sessions.map((session) => unchangedMachine(session, sessions.length > 1))
  const driveTyres = new Map(
    sessions.flatMap(({ comparison }) => (comparison.driveTyres ?? []).map((tyre) => [tyre.id, tyre])),
  )
  const excluded = parts.flatMap((part) => part.excluded)
  return parseStudy({
    protocol,
    ...(name === undefined ? {} : { name }),
    ...(reportIn === undefined ? {} : { reportIn }),
    facility,
    vehicle,
    ...(driveTyres.size === 0 ? {} : { driveTyres: [...driveTyres.values()] }),
    band,
    appliesTo: wholeScope({ ...scopeOfSessions(sessions), ...appliesTo }),
    mountings: parts.flatMap((part) => part.mountings),
    runs: parts.flatMap((part) => part.runs),
    ...(excluded.length === 0 ? {} : { excluded }),
  })
}

/**
 * What sessions state of a scope: label and class of their machine, and the strapping of the mountings that hold baseline
 * runs. A part that they do not state, or state in several ways, is absent.
 *
 * @throws ImportError when a session names no machine, or several.
 */
export function scopeOfSessions(sessions: readonly SessionForStudy[]): Partial<RecordScope> {
  const machines = sessions.map(machineOf)
  const mountings = sessions.flatMap((session) => unchangedMachine(session, false).mountings)
  const machine = theOne(machines.map(({ label, id }) => label ?? id))
  const strapping = theOne(mountings.map((mounting) => mounting.strapping))
  const of = theOne(machines.map((vehicle) => vehicle.class))
  return {
    ...(machine === undefined ? {} : { machine }),
    ...(strapping === undefined ? {} : { strapping }),
    ...(of === undefined ? {} : { class: of }),
  }
}

/** What all texts say; undefined where they differ or one is absent. */
function theOne(texts: readonly (string | undefined)[]): string | undefined {
  const [first, ...others] = new Set(texts)
  return others.length === 0 ? first : undefined
}

function wholeScope({ machine, strapping, class: of }: Partial<RecordScope>): RecordScope {
  if (machine !== undefined && strapping !== undefined && of !== undefined) return { machine, strapping, class: of }
  throw refused(
    'the sessions do not state one machine, strapping method and class, and a record says what it applies to.',
    'State label and class of the vehicle, and strapping of every mounting, in session.yaml.',
  )
}

function refused(detail: string, fix: string): ImportError {
  return new ImportError(problemOf({ code: 'ERR_STUDY_REFUSED', detail, fix }))
}

/** A frame number tells two machines apart; without one the id does. */
function machineOf({ name, comparison }: SessionForStudy): Vehicle {
  const [vehicle, ...others] = comparison.vehicles ?? []
  if (vehicle !== undefined && others.length === 0) return vehicle
  throw refused(
    `${name} names ${vehicle === undefined ? 'no machine' : 'several machines'}; a study is of one.`,
    'Describe the one machine under vehicles in session.yaml.',
  )
}

function requireSame(session: SessionForStudy, first: SessionForStudy, vehicle: Vehicle): void {
  const { id, frameNumberDigest } = machineOf(session)
  const isOther =
    id !== vehicle.id ||
    (frameNumberDigest !== undefined &&
      vehicle.frameNumberDigest !== undefined &&
      frameNumberDigest !== vehicle.frameNumberDigest)
  if (isOther)
    throw refused(`${session.name} is of another machine than ${first.name}.`, 'Make a study of each machine.')
  if (session.comparison.facility?.id === undefined) {
    throw refused(`${session.name} names no facility.`, 'Name it under facility.id in session.yaml.')
  }
  if (session.comparison.facility.id !== first.comparison.facility?.id) {
    throw refused(`${session.name} was made at another facility than ${first.name}.`, 'Make a study of each facility.')
  }
}

function claimedBand(sessions: readonly SessionForStudy[]): StudyBand | undefined {
  const ranges = sessions.flatMap(({ comparison }) => (comparison.claims ?? []).map(({ over }) => over))
  const range = ranges.find((over) => 'from' in over)
  return range === undefined || !('from' in range) ? undefined : { from: range.from, to: range.to }
}

interface UnchangedMachine {
  readonly mountings: readonly Mounting[]
  readonly runs: readonly unknown[]
  readonly excluded: NonNullable<Comparison['excluded']>
}

/** The baseline runs with their mountings. A session without mountings was made in one. */
function unchangedMachine({ name, comparison }: SessionForStudy, isOneOfSeveral: boolean): UnchangedMachine {
  const called = (id: string) => (isOneOfSeveral ? `${name}/${id}` : id)
  const described: readonly Mounting[] = comparison.mountings ?? []
  const [only = { id: 'mounting' }, ...others] = described
  const mountingOf = ({ mounting }: Run) => mounting ?? (others.length === 0 ? only.id : undefined)
  const baseline = comparison.runs.filter(({ side }) => side === 'baseline')
  const kept = new Set(baseline.map(({ id }) => id))
  const held = new Set(baseline.map(mountingOf))
  return {
    mountings: [only, ...others].filter(({ id }) => held.has(id)).map((each) => ({ ...each, id: called(each.id) })),
    runs: baseline.map((run) => {
      const mounting = mountingOf(run)
      return { ...run, id: called(run.id), ...(mounting === undefined ? {} : { mounting: called(mounting) }) }
    }),
    excluded: (comparison.excluded ?? []).flatMap((each) =>
      kept.has(each.run) ? [{ ...each, run: called(each.run) }] : [],
    ),
  }
}
