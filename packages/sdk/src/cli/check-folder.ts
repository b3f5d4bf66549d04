/** What a session folder lacks before it is assessed, in the order a person would put it right. */
import type { Finding, Result } from '../contract/index.ts'
import type { SessionSurvey } from '../import/index.ts'
import { readIn, type SharedOptions, type Surroundings, show } from './command.ts'
import { type ExitCode, exitCodes } from './exit-codes.ts'
import type { FolderCheck } from './folder-check.ts'
import { placesToWrite } from './places-to-write.ts'
import { sayFolderCheck } from './render-folder-check.ts'

/** `fairpull check FOLDER`. */
export async function checkFolder(around: Surroundings, path: string, options: SharedOptions): Promise<ExitCode> {
  const { io, tools } = around
  const survey = await tools.surveySessionFolder((name) => readIn(io, path, name))
  const result = survey.comparison === null ? null : await tools.assess(survey.comparison)
  const check = checkOf(survey, result)
  show(io, options, check, (page) =>
    sayFolderCheck(page, check, { path, isFull: options.full ?? false, comparison: survey.comparison }),
  )
  if (check.problems.length > 0) return exitCodes.input
  return check.isReady ? exitCodes.done : exitCodes.limited
}

/** A finding is weighed as its remedy costs: notes before the rig, the rig before further runs. */
function checkOf({ problems, awaited }: SessionSurvey, result: Result | null): FolderCheck {
  const findings = (result?.findings ?? []).filter(({ severity }) => severity !== 'note')
  const open = findings.filter(({ status }) => status === 'not-evidenced')
  const isToCome = new Set(awaited.map(({ run }) => run))
  const isNotedWithRuns = ({ check, runs }: Finding) =>
    placesToWrite[check]?.sheet !== undefined && runs.some((run) => isToCome.has(run))
  const records = byWeight(open.filter(({ evidence }) => evidence === 'from-records'))
  const fromRecords = records.filter((finding) => !isNotedWithRuns(finding))
  const differing = byWeight(findings.filter(({ status }) => status === 'breached' || status === 'marginal'))
  // What is marginal for want of a reading is settled by reading it with the runs.
  const isRead = (finding: Finding) => finding.status === 'marginal' && isNotedWithRuns(finding)
  const toPutRight = differing.filter((finding) => !isRead(finding))
  return {
    isReady: problems.length === 0 && fromRecords.length === 0 && toPutRight.length === 0,
    problems,
    fromRecords,
    toPutRight,
    withEachRun: [...records.filter(isNotedWithRuns), ...differing.filter(isRead)],
    awaited,
    forTheRuns: byWeight(open.filter(({ evidence }) => evidence === 'repeat')),
    met: findings.filter(({ status }) => status === 'met'),
  }
}

const weights: readonly Finding['severity'][] = ['gate', 'run-level', 'scope', 'note']

function byWeight(findings: readonly Finding[]): readonly Finding[] {
  return findings.toSorted((a, b) => weights.indexOf(a.severity) - weights.indexOf(b.severity))
}
