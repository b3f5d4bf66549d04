/** The door for repeatability studies: from a value of unknown shape to a study that can be assessed. */
import type { Claim } from './claim.ts'
import type { Comparison } from './comparison.ts'
import type { ComparisonProblem } from './field-problem.ts'
import { MAX_PROBLEMS, readComparison } from './read-comparison.ts'
import type { Run } from './run.ts'
import { schemaProblems } from './schema-problems.ts'
import type { Study, StudyRun } from './study.ts'
import { studySchema } from './study-schema.ts'

/** A study that can be read, or every reason why it cannot. */
export type StudyReading =
  | { readonly ok: true; readonly study: Study }
  | { readonly ok: false; readonly problems: readonly ComparisonProblem[] }

/**
 * The study in a value of unknown shape, or what makes it unreadable; the rules for its parts are those of `readComparison`.
 *
 * Too few mountings or runs are read and answered, never refused.
 *
 * @param value a parsed JSON value; not changed.
 * @returns the study, or its problems with pointers into it. Pure; never throws.
 */
export function readStudy(value: unknown): StudyReading {
  const parsed = studySchema.safeParse(value)
  if (!parsed.success) {
    return { ok: false, problems: schemaProblems(studySchema, value, parsed.error.issues, MAX_PROBLEMS).problems }
  }
  const study: Study = parsed.data
  const reading = readComparison(asOneSide(study))
  const shared = reading.ok ? [] : reading.problems.map(inStudy)
  const problems = [...shared, ...sideProblems(study)]
  return problems.length === 0 ? { ok: true, study } : { ok: false, problems }
}

/**
 * A study as the comparison it would be if nothing were ever changed: every run on one side, the band as that of a claim,
 * every run made with the one machine.
 *
 * @param study a study that `readStudy` accepted.
 * @returns the comparison. Pure.
 */
export function comparisonOfStudy(study: Study): Comparison {
  const comparison = asOneSide(study)
  const { id } = study.vehicle
  return { ...comparison, runs: comparison.runs.map((run) => ({ ...run, setup: { ...run.setup, vehicle: id } })) }
}

function asOneSide({ protocol, reportIn, facility, vehicle, driveTyres, band, ...rest }: Study): Comparison {
  const { mountings, runs, excluded } = rest
  return {
    protocol,
    ...(reportIn === undefined ? {} : { reportIn }),
    facility,
    vehicles: [vehicle],
    ...(driveTyres === undefined ? {} : { driveTyres }),
    mountings,
    runs: runs.map((run: StudyRun): Run => ({ ...run, side: 'baseline' })),
    ...(excluded === undefined ? {} : { excluded }),
    claims: [bandClaim(band)],
  }
}

/** What a comparison has a claim for: the engine speeds that its checks and its figures speak of. */
function bandClaim({ from, to }: Study['band']): Claim {
  return {
    id: 'band',
    quantity: 'wheel-power',
    over: { kind: 'band-mean', from, to },
    relation: 'at-least',
    gain: { value: 0, unit: '%' },
  }
}

function inStudy(problem: ComparisonProblem): ComparisonProblem {
  const pointer = problem.pointer.replace(/^\/vehicles\/0/, '/vehicle').replace(/^\/claims\/0(?:\/over)?/, '/band')
  return { ...problem, pointer }
}

/** A machine that was run before and after a change is not one unchanged machine. */
function sideProblems({ runs }: Study): readonly ComparisonProblem[] {
  const first = runs.find(({ side }) => side !== undefined)?.side
  const other = runs.findIndex(({ side }) => side !== undefined && side !== first)
  if (other < 0) return []
  const detail =
    `The run is of the side "${runs[other]?.side}", others are of the side "${first}": between them the machine was changed. ` +
    'Keep the runs of one side, or make a study of each.'
  return [{ pointer: `/runs/${other}/side`, code: 'ERR_STUDY_SIDES', detail }]
}
