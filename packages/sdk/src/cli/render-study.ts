/** What a repeatability study shows, as a person reads it. Pure. */
import type { ControlChart, FacilityRecord, RecordScope, StudyComponents, StudyResult } from '../contract/index.ts'
import type { Page } from './page.ts'
import { counted, padded } from './text.ts'

/** How a study is shown. */
export interface StudyView {
  /** Line above it. */
  readonly title: string
  /** Whether every run is printed. */
  readonly isFull: boolean
}

/** Adds a study: the answer, the record, what is missing and what to add, where the scatter comes from. */
export function sayStudy(page: Page, result: StudyResult, { title, isFull }: StudyView): void {
  const { record, missing } = result
  page.say(title, { tint: 'heading' })
  page.say(result.verdict, { tint: record === null ? 'bad' : missing.length === 0 ? 'good' : 'middling' })
  if (record !== null) sayRecord(page, record)
  sayMissing(page, result)
  if (result.components !== null) sayComponents(page, result.components)
  sayRuns(page, result, isFull)
  sayFindings(page, result, isFull)
  sayLimits(page, result)
  if (isFull) sayCautions(page, result)
}

/** A relative standard deviation. */
function percent(relativeSd: number): string {
  return `${(100 * relativeSd).toFixed(2)} %`
}

function sayRecord(page: Page, record: FacilityRecord): void {
  const { repeatability, remounting, day, localNoise } = record
  page.section('Facility record')
  const groups = [
    ['repeatability', repeatability],
    ['re-mounting', remounting],
    ['day to day', day],
  ] as const
  for (const [name, group] of groups) {
    if (group === undefined) continue
    const { relativeSd, degreesOfFreedom, status } = group
    page.say(`${percent(relativeSd)} on ${shown(degreesOfFreedom)} degrees of freedom, ${status}`, { first: row(name) })
  }
  if (localNoise !== undefined) {
    const length = Math.round(localNoise.correlationLength.value)
    page.say(`${percent(localNoise.relativeSd)}, alike over ${length} rpm`, { first: row('along the speed') })
  }
  if (record.appliesTo !== undefined) sayScope(page, record.appliesTo)
  page.say(record.on ?? 'no date: counts as declared', { first: row('of') })
}

function sayScope(page: Page, { machine, strapping, class: of }: RecordScope): void {
  page.say(machine, { first: row('machine') })
  page.say(strapping, { first: row('strapping') })
  page.say(of, { first: row('class') })
}

const NAME_WIDTH = 18

function row(name: string): string {
  return `  ${padded(name, NAME_WIDTH)}`
}

function shown(dof: number): string {
  return String(Number(dof.toPrecision(2)))
}

function sayMissing(page: Page, { missing, record }: StudyResult): void {
  if (missing.length === 0) return
  page.section(record === null ? 'Why there is no record' : 'What is missing from it')
  for (const { sentence, remedy } of missing) {
    page.say(sentence, { first: `  ${page.look.signs.open} ` })
    page.say(remedy, { first: `    ${page.look.signs.arrow} ` })
  }
}

const sourceWords = { repeatability: 'runs', mounting: 'mountings', day: 'days' } as const

function sayComponents(page: Page, { analysis, of, isDayInMounting }: StudyComponents): void {
  page.section('Where the scatter comes from')
  page.say(
    analysis === 'nested-anova'
      ? 'Nested analysis of variance (ISO 5725-3).'
      : 'Restricted maximum likelihood, since not every mounting or day holds as many.',
    { first: '  ', tint: 'quiet' },
  )
  page.say('The record takes no more than half of what is seen as being of another source.', {
    first: '  ',
    tint: 'quiet',
  })
  for (const { source, relativeSd, degreesOfFreedom } of of) {
    const days = source === 'mounting' && isDayInMounting ? ', days in it' : ''
    page.say(`${percent(relativeSd)}, seen on ${degreesOfFreedom} degrees of freedom${days}`, {
      first: row(`between ${sourceWords[source]}`),
    })
  }
}

function sayRuns(page: Page, { runs, figures, excluded, outlying, notMeasured }: StudyResult, isFull: boolean): void {
  page.section('Runs used')
  const mountings = [...new Set(runs.map(({ mounting }) => mounting))]
  const days = figures.days === null ? '' : `, ${counted(figures.days, 'day')}`
  page.say(
    `${counted(runs.length, 'run')} in ${counted(mountings.length, 'mounting')}${days}; mean power from ${figures.from_rpm} to ${figures.to_rpm} rpm, ${correctionWords(figures.correction)}.`,
    { first: '  ' },
  )
  for (const mounting of mountings) {
    const own = runs.filter((run) => run.mounting === mounting)
    const values = own.flatMap(({ bandMean_kW }) => bandMean_kW ?? [])
    const mean = values.length === 0 ? 'no figure' : `${(sumOf(values) / values.length).toFixed(2)} kW`
    const day = own[0]?.day ?? 'no date'
    page.say(`${mounting}: ${day}, ${counted(own.length, 'run')}, ${mean}`, { first: `  ${page.look.signs.bullet} ` })
    if (isFull) {
      const each = own.map(({ run, bandMean_kW }) => `${run} ${bandMean_kW === null ? '-' : bandMean_kW.toFixed(2)}`)
      page.say(each.join(', '), { first: '      ', tint: 'quiet' })
    }
  }
  for (const { run, rule, reason } of excluded) page.say(`${run} left out (${rule}): ${reason}`, { first: '  ' })
  if (notMeasured.length > 0) page.say(`${counted(notMeasured.length, 'run')} not for measuring.`, { first: '  ' })
  if (outlying.length > 0) {
    page.say(`Out of line with the others of the mounting: ${outlying.join(', ')}.`, {
      first: `  ${page.look.signs.middling} `,
    })
  }
}

function correctionWords(correction: StudyResult['figures']['correction']): string {
  if (correction === 'none') return 'uncorrected'
  return correction === 'as-printed' ? 'as printed' : `corrected by ${correction}`
}

function sumOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0)
}

function sayFindings(page: Page, { findings }: StudyResult, isFull: boolean): void {
  const { signs } = page.look
  const of = (status: string) => findings.filter((finding) => finding.status === status)
  page.section('What was checked of the runs')
  for (const { check, sentence, remedy, status } of [...of('breached'), ...of('marginal')]) {
    const isBreached = status === 'breached'
    page.say(`${check}: ${sentence}`, {
      first: `  ${isBreached ? signs.bad : signs.middling} `,
      tint: isBreached ? 'bad' : 'middling',
    })
    if (remedy !== '') page.say(remedy, { first: `    ${signs.arrow} ` })
  }
  const open = of('not-evidenced')
  if (isFull)
    for (const { check, remedy } of open) page.say(`${check}: no evidence. ${remedy}`, { first: `  ${signs.open} ` })
  else if (open.length > 0)
    page.say(`${counted(open.length, 'check')} without evidence.`, { first: `  ${signs.open} ` })
  page.say(`${counted(of('met').length, 'check')} met.`, { first: `  ${signs.good} ` })
}

function sayLimits(page: Page, { limits }: StudyResult): void {
  page.section('What this does not show')
  for (const sentence of limits) page.say(sentence, { first: `  ${page.look.signs.bullet} ` })
}

function sayCautions(page: Page, { cautions }: StudyResult): void {
  page.section('Safety')
  for (const { sentence } of cautions) page.say(sentence, { first: `  ${page.look.signs.middling} ` })
}

const chartWords = { runs: 'of the runs within a mounting', 'mounting-means': 'of the means of the mountings' } as const

/** Adds control charts: each study against its limits. */
export function sayControlCharts(page: Page, charts: readonly ControlChart[]): void {
  const { signs } = page.look
  for (const { of, points, sentence } of charts) {
    page.section(`Standard deviation ${chartWords[of]}, study by study`)
    for (const { study, on, relativeSd, lower, upper, isInControl } of points) {
      const date = on === null ? '' : `, ${on}`
      page.say(`${study}${date}: ${percent(relativeSd)}, limits ${percent(lower)} to ${percent(upper)}`, {
        first: `  ${isInControl ? signs.good : signs.bad} `,
        ...(isInControl ? {} : { tint: 'bad' as const }),
      })
    }
    page.say(sentence, { first: '  ' })
  }
}
