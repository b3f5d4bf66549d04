import type { Finding } from '../contract/result.ts'
import type { Study, StudyComponents, StudyResult, StudyScatter } from '../contract/study.ts'
import { METHOD_VERSION } from './assess-comparison.ts'
import { outlyingCells } from './evidence/outlying.ts'
import { roundSignificant } from './numerics/round-significant.ts'
import { findingOf } from './protocol/check.ts'
import { noDuplicateRuns } from './protocol/checks/no-duplicate-runs.ts'
import { protocolOf } from './protocol/protocol-of.ts'
import { accountingOf } from './result/accounting.ts'
import { cautionsOf } from './result/cautions.ts'
import { varianceOf } from './statistics/facility-study.ts'
import { nestedComponents } from './statistics/nested-components.ts'
import { isScatter } from './statistics/nested-layout.ts'
import { studyDifferences } from './study/differences.ts'
import { missingParts, obstaclesOf } from './study/missing.ts'
import { type BandMeans, type StudyEvidence, studyEvidence } from './study/study-evidence.ts'
import { type StudyRecord, studyRecord } from './study/study-record.ts'
import { studyLimits, studyVerdict } from './study/study-words.ts'

/**
 * What a repeatability study shows: the facility record for later comparisons, and where the scatter comes from.
 *
 * Too few runs, mountings or days, and runs that do not hold, are data in the answer, with what to add or make again.
 *
 * @param study a study that `readStudy` accepted.
 * @returns the result; every number rounded to 6 significant digits. The same input gives the same answer.
 * @throws EngineError `ERR_UNKNOWN_PROTOCOL`; never on weak evidence.
 *
 * Source: measurement-model §9; ISO 5725-3. Tested: tests/studies/assess-study.test.ts.
 */
export function assessStudy(study: Study): StudyResult {
  const runnable = protocolOf(study.protocol)
  const { data: protocol, rows } = runnable
  const seen = studyEvidence(study, runnable)
  const { evidence } = seen
  const looksAtRuns = rows.filter(({ check }) => check.isRunCheck === true || check === noDuplicateRuns)
  const findings = looksAtRuns.map((row) => findingOf(row, evidence))
  const obstacles = obstaclesOf(seen, findings)
  const figures = typeof seen.figures === 'string' ? null : seen.figures
  const made = figures === null || obstacles.length > 0 ? null : studyRecord(seen, figures)
  const missing = figures === null || made === null ? obstacles : missingParts(figures, made)
  const outlying = outlyingCells(evidence).flatMap(({ runs }) => runs.map(({ id }) => id))
  const differences = studyDifferences(evidence.session)
  const mountings = new Set(evidence.session.used.map(({ mounting }) => mounting)).size
  const accounting = accountingOf(evidence)
  return {
    method: METHOD_VERSION,
    protocol: protocol.id,
    facility: study.facility.id,
    verdict: studyVerdict(made?.record ?? null, missing),
    record: made?.record ?? null,
    missing,
    figures: { ...figuresHead(seen), mountings },
    components: figures === null ? null : componentsOf(figures),
    scatter: figures === null ? [] : scatterOf(figures, made),
    prior: made?.prior ?? null,
    localDegreesOfFreedom: figures?.local?.dof ?? null,
    runs: runFigures(seen, figures),
    excluded: accounting.excluded,
    notMeasured: accounting.notMeasured,
    outlying,
    differences,
    findings,
    limits: studyLimits({ seen, made, mountings, outlying, differences }),
    cautions: studyCautions(seen, findings),
  }
}

function figuresHead({ band, days, evidence }: StudyEvidence): Omit<StudyResult['figures'], 'mountings'> {
  const known = days.flatMap((day) => day ?? [])
  return {
    from_rpm: roundSignificant(band.from_rpm),
    to_rpm: roundSignificant(band.to_rpm),
    correction: evidence.correction.correction,
    days: known.length < days.length || days.length === 0 ? null : new Set(known).size,
  }
}

function componentsOf({ layout }: BandMeans): StudyComponents | null {
  const found = nestedComponents(layout)
  if (found === null) return null
  return {
    analysis: found.analysis,
    of: found.components.map(({ source, variance, dof }) => ({
      source,
      relativeSd: roundSignificant(Math.sqrt(variance)),
      degreesOfFreedom: dof,
    })),
    isDayInMounting: layout.isDayInMounting,
  }
}

/** What control charts compare: standard deviations as found, each on the degrees of freedom of its own sample. */
function scatterOf({ layout }: BandMeans, made: StudyRecord | null): readonly StudyScatter[] {
  const within = made?.within ?? null
  if (within === null) return []
  const means = varianceOf(within.means)
  const of = (name: StudyScatter['of'], variance: number, degreesOfFreedom: number): StudyScatter => ({
    of: name,
    relativeSd: roundSignificant(Math.sqrt(variance)),
    degreesOfFreedom,
  })
  return [
    of('runs', within.variance, within.dof),
    ...(layout.mountings > 1 && isScatter(means, 1) ? [of('mounting-means', means, layout.mountings - 1)] : []),
  ]
}

function runFigures({ evidence, days }: StudyEvidence, figures: BandMeans | null): StudyResult['runs'] {
  return evidence.session.used.map(({ id, mounting }, i) => {
    const power_W = figures?.power_W[i]
    const bandMean_kW = power_W === undefined ? null : roundSignificant(power_W / 1000)
    return { run: id, mounting, day: days[i] ?? null, bandMean_kW }
  })
}

/** Nothing was fitted, so nothing is said of its use on the road. */
function studyCautions({ evidence }: StudyEvidence, findings: readonly Finding[]): StudyResult['cautions'] {
  return cautionsOf(evidence.session, findings).filter(({ about }) => about !== 'road-use')
}
