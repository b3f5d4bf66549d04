import type { Finding } from '../../contract/result.ts'
import type { MissingFromRecord } from '../../contract/study.ts'
import { listed } from '../claims/claim-words.ts'
import { wholeNumber } from '../evidence/subject.ts'
import { FEWEST_SESSIONS } from '../statistics/facility-prior.ts'
import { FEWEST_MOUNTINGS } from '../statistics/facility-study.ts'
import { FEWEST_DAYS } from './mounting-figures.ts'
import type { BandMeans, StudyEvidence } from './study-evidence.ts'
import type { StudyRecord } from './study-record.ts'

/**
 * Why a study has no figures at all: its runs do not hold, or do not cover the band.
 *
 * @param seen evidence of the study.
 * @param findings of the checks of its single runs.
 * @returns one entry per reason; empty when there are figures. Pure; never throws.
 */
export function obstaclesOf(seen: StudyEvidence, findings: readonly Finding[]): readonly MissingFromRecord[] {
  const used = new Set(seen.evidence.session.used.map(({ id }) => id))
  const unsound = findings.flatMap(({ check, status, severity, runs, sentence }): readonly MissingFromRecord[] => {
    const isGrave = status === 'breached' && (severity === 'gate' || severity === 'run-level')
    const concerned = runs.filter((run) => used.has(run))
    if (!isGrave || concerned.length === 0) return []
    const remedy = `Leave ${listed(concerned)} out under a rule, or make ${concerned.length === 1 ? 'it' : 'them'} again.`
    return [{ part: 'record', sentence: `${check}: ${sentence}`, remedy }]
  })
  return [...unsound, ...figureObstacle(seen)]
}

function figureObstacle({ figures, band, evidence }: StudyEvidence): readonly MissingFromRecord[] {
  if (typeof figures !== 'string') return []
  const range = `${wholeNumber(band.from_rpm)} to ${wholeNumber(band.to_rpm)} rpm`
  const without = evidence.session.used.filter((run) => !evidence.traces.get(run)?.curve).map(({ id }) => id)
  const words: Readonly<Record<typeof figures, readonly [string, string]>> = {
    'no runs': ['No measured run is used.', 'Hand in the measured runs of at least four mountings.'],
    'no curve': [
      `No power curve: ${listed(without)}.`,
      'Hand in the recorded channels of every run; printed figures cannot be checked.',
    ],
    'not covered': [
      `The runs do not all cover ${range}.`,
      'State a band that every run covers, or leave the short runs out under the rule `trace`.',
    ],
    'range too narrow': [`${range} holds fewer than three points of the 50 rpm grid.`, 'State a wider band.'],
    'no power': [
      'The mean power of a run over the band is not above 0.',
      'Look at that run’s recording and its units.',
    ],
  }
  const [sentence, remedy] = words[figures]
  return [{ part: 'record', sentence, remedy }]
}

/**
 * The parts of a record that the runs cannot give yet, each with what to add.
 *
 * @param figures of the study.
 * @param made the record and what it was made from.
 * @returns one entry per part. Pure; never throws.
 */
export function missingParts({ layout }: BandMeans, made: StudyRecord): readonly MissingFromRecord[] {
  const { within, between, record } = made
  return [
    ...(record?.repeatability === undefined ? [repeatability(layout.runs > layout.mountings, made)] : []),
    ...(between.mount === null ? [remounting(layout.mountings, within === null)] : []),
    ...(between.day === null ? [day(layout.days.length, between.isDayInMount)] : []),
    ...(record?.localNoise === undefined && within !== null ? [LOCAL_NOISE] : []),
  ]
}

function repeatability(hasRepeats: boolean, { within }: StudyRecord): MissingFromRecord {
  const part = 'repeatability'
  if (!hasRepeats) {
    return {
      part,
      sentence: 'No mounting holds two measured runs, so runs cannot be held against each other.',
      remedy: 'Make two or more measured runs in each mounting.',
    }
  }
  if (within === null) {
    return {
      part,
      sentence: 'The runs of a mounting do not differ at all, which no rig achieves.',
      remedy: 'Hand in the recorded channels as they are, not rounded, averaged or copied.',
    }
  }
  return {
    part,
    sentence: `There are fewer than ${FEWEST_SESSIONS} series of runs, so how alike series are cannot be told.`,
    remedy: `Make two or more measured runs in at least ${FEWEST_SESSIONS} mountings, or state past series under \`past\`.`,
  }
}

function remounting(mountings: number, isWithout: boolean): MissingFromRecord {
  const part = 'remounting'
  if (isWithout && mountings >= FEWEST_MOUNTINGS) {
    return {
      part,
      sentence: 'Without the scatter of the runs that of the mountings cannot be told from it.',
      remedy: 'Make two or more measured runs in at least one mounting, better in each.',
    }
  }
  return {
    part,
    sentence: `There ${mountings === 1 ? 'is 1 mounting' : `are ${mountings} mountings`}; not enough for a re-mounting value.`,
    remedy: `Strap the unchanged machine down again: ${FEWEST_MOUNTINGS} mountings at the least, 8 for a value to rely on.`,
  }
}

function day(days: number, isDayInMount: boolean): MissingFromRecord {
  return {
    part: 'day',
    sentence: isDayInMount
      ? 'Days cannot be told from mountings; what lies between days is in the re-mounting value, if it was there at all.'
      : `The mountings are of ${days === 1 ? 'one day' : `${days} days`}; not enough for a day value.`,
    remedy: `Strap down twice a day on at least ${FEWEST_DAYS} days, with start times. Until then compare within a day.`,
  }
}

const LOCAL_NOISE: MissingFromRecord = {
  part: 'localNoise',
  sentence: 'The curves of a mounting differ by nothing that changes along the engine speed.',
  remedy: 'Hand in the recorded channels as they are, unsmoothed.',
}
