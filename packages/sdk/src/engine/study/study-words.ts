import type { FacilityRecord } from '../../contract/facility.ts'
import type { MissingFromRecord, StudyDifference } from '../../contract/study.ts'
import { listed } from '../claims/claim-words.ts'
import { yearAfter } from '../inputs/record-scope.ts'
import type { WhyDeclared } from './record-date.ts'
import type { StudyEvidence } from './study-evidence.ts'
import type { StudyRecord } from './study-record.ts'

/** A relative standard deviation as a sentence shows it. */
function percent(relativeSd: number): string {
  return `${Number((100 * relativeSd).toPrecision(2))} %`
}

/** Degrees of freedom as a sentence shows them. */
function degrees(dof: number): string {
  return `${Number(dof.toPrecision(2))} degrees of freedom`
}

/**
 * The answer of a study in one plain sentence.
 *
 * @param record what the study gives; null when nothing.
 * @param missing what it does not. Pure; never throws.
 */
export function studyVerdict(record: FacilityRecord | null, missing: readonly MissingFromRecord[]): string {
  const values = valuesOf(record)
  if (record === null || values.length === 0) {
    const reasons = missing.map(({ sentence }) => sentence).join(' ')
    return `Not enough for a facility record. ${reasons}`.trimEnd()
  }
  const lacking = missing.map(({ part }) => NAMES[part])
  const until = record.on === undefined ? '' : `, to be used until ${yearAfter(record.on)}`
  const rest = lacking.length === 0 ? '' : ` Not enough for: ${listed(lacking)}.`
  return `${values.join('; ')}${until}.${rest}`
}

const NAMES: Readonly<Record<MissingFromRecord['part'], string>> = {
  record: 'a record',
  repeatability: 'repeatability',
  remounting: 're-mounting',
  day: 'day to day',
  localNoise: 'noise along the engine speed',
}

function valuesOf(record: FacilityRecord | null): readonly string[] {
  const groups = [
    ['repeatability', record?.repeatability],
    ['re-mounting', record?.remounting],
    ['day to day', record?.day],
  ] as const
  const words = groups.flatMap(([name, group]) =>
    group === undefined ? [] : [`${name} ${percent(group.relativeSd)} (${degrees(group.degreesOfFreedom)})`],
  )
  const [first, ...others] = words
  return first === undefined ? [] : [`${first.charAt(0).toUpperCase()}${first.slice(1)}`, ...others]
}

/** Mountings from which a re-mounting value can be relied on. Source: measurement-model §14. */
const ENOUGH_MOUNTINGS = 8

/** What a study is silent about. */
interface Shown {
  readonly seen: StudyEvidence
  readonly made: StudyRecord | null
  readonly mountings: number
  readonly outlying: readonly string[]
  readonly differences: readonly StudyDifference[]
}

/**
 * What a study does not show, in plain sentences.
 *
 * @param shown the study and what it gave. Pure; never throws.
 */
export function studyLimits({ seen, made, mountings, outlying, differences }: Shown): readonly string[] {
  const { machine, strapping, class: of } = seen.study.appliesTo
  const date = made?.date
  return [
    'How well a rig repeats says nothing of how true its power is: what is alike in every run shows in no scatter.',
    'Runs that were made and not handed in do not show: a study of chosen runs tells too little scatter.',
    `The record holds for ${machine}, strapped by ${strapping}, class ${of}; a comparison that states another machine, method or class, or none, has a declared value, not a measured one.`,
    ...(date === undefined ? [] : dateLimits(date)),
    ...(made?.between.mount !== undefined && made.between.mount !== null && mountings < ENOUGH_MOUNTINGS
      ? [
          `The re-mounting value rests on ${mountings} mountings; with fewer than ${ENOUGH_MOUNTINGS} it is weak itself.`,
        ]
      : []),
    ...(made?.between.isDayInMount === true && made.between.mount !== null
      ? ['The re-mounting value holds whatever lies between days, if the mountings were made on several.']
      : []),
    ...((seen.study.past ?? []).length === 0
      ? []
      : ['Past series are figures that nobody here saw; the repeatability that rests on them is declared.']),
    ...(outlying.length === 0
      ? []
      : [`Out of line with the other runs of the mounting, and used all the same: ${listed(outlying)}.`]),
    ...(differences.length === 0
      ? []
      : [
          `Not alike on every run, though the machine is to be unchanged: ${listed(differences.map(({ member }) => member.replaceAll('/', ' ')))}. What that moved is in the scatter.`,
        ]),
  ]
}

const WHY_DECLARED: Readonly<Record<WhyDeclared, string>> = {
  'too long': 'The first run is more than 12 months older than the last: the values are declared, not measured.',
  hearsay: 'Runs that were only reported or read from a chart make the values declared, not measured.',
  'left out by choice':
    'Runs were left out by somebody’s choice, and not by what a rule sees in the run alone: the values are declared, not measured.',
  'other scope':
    'The vehicle or a mounting of the study states another machine, class or strapping than the record is to apply to: the values are declared, not measured.',
}

function dateLimits({ on, because }: StudyRecord['date']): readonly string[] {
  if (on === null) return ['No run has a date, so the record has none: its values count as declared.']
  if (because !== null) return [WHY_DECLARED[because]]
  return [`After ${yearAfter(on)}, 12 months after the last run, the values count as declared.`]
}
