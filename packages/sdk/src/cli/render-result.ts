/** A result as a person reads it: the answer first, then why, then what to do. Pure. */
import type { NextStep, OtherCause, Result, Standing } from '../contract/index.ts'
import { createLook, type LookOptions, type Tint } from './look.ts'
import { createPage, type Page } from './page.ts'
import { gainPlot } from './plot.ts'
import { sayClaims } from './render-claims.ts'
import { sayFindings } from './render-findings.ts'
import { sayGains } from './render-gains.ts'
import { sayPlanReport } from './render-plan-report.ts'
import { sayScope } from './render-scope.ts'
import { counted } from './text.ts'

/** What is shown of a result. */
export interface RenderOptions extends LookOptions {
  /** Line above the result, for example the name of the file. */
  readonly title?: string
  /** Whether every finding, the budget and the full list of what is not shown are printed. Default: no. */
  readonly full?: boolean
  /** Whether only the answer, what breaks or limits it, and what to do next are printed. Default: no. */
  readonly brief?: boolean
}

const standingTints: Readonly<Record<Standing, Tint>> = { valid: 'good', limited: 'middling', invalid: 'bad' }

const standingWords: Readonly<Record<Standing, string>> = {
  valid: 'VALID: the two sides can be compared',
  limited: 'LIMITED: the comparison holds only within the limits below',
  invalid: 'INVALID: the two sides cannot be compared',
}

/** Where a next step costs, in the order it is printed. */
const costWords: Readonly<Record<NextStep['cost'], string>> = {
  records: 'From your notes',
  'minutes-on-the-rollers': 'On the rollers, minutes',
  'hours-on-the-rollers': 'On the rollers, hours',
  'ask-the-publisher': 'Ask the publisher',
}

/**
 * The text of a result, each line at most `width` columns wide, without a line end after the last one.
 *
 * Members this version does not know are left out; texts from the result are shown without control characters.
 */
export function renderResult(result: Result, options: RenderOptions = {}): string {
  const { title, full = false, brief = false } = options
  const page = createPage(createLook(options))
  if (title !== undefined) page.say(title, { tint: 'heading' })
  sayVerdict(page, result, full)
  sayGains(page, result, full)
  if (!brief) sayPlot(page, result)
  sayClaims(page, result.claims, { findings: result.findings, full })
  sayPlanReport(page, result.plan)
  sayOtherCauses(page, result.otherCauses ?? [])
  sayFindings(page, result.findings, brief ? 'brief' : full ? 'full' : 'usual')
  sayNextSteps(page, result.nextSteps)
  if (brief) return page.lines.join('\n')
  sayCautions(page, result)
  sayAccounting(page, result)
  sayLimits(page, result, full)
  return page.lines.join('\n')
}

function sayVerdict(page: Page, result: Result, full: boolean): void {
  const { standing, score, verdict, scope, findings, attribution, protocol } = result
  page.say(standingWords[standing], { tint: standingTints[standing] })
  page.say(verdict)
  if (standing === 'limited') sayScope(page, scope, { findings, indent: '  ', full })
  if (attribution.sentence !== '') page.say(attribution.sentence)
  page.say(`Score ${score} of 100, protocol ${protocol.id}.`, { tint: 'quiet' })
}

function sayPlot(page: Page, { gains, standing }: Result): void {
  if (gains.curve === null) return
  const plot = gainPlot(gains.curve, page.look)
  if (plot.length === 0) return
  page.section(standing === 'invalid' ? 'Difference over engine speed (not a gain)' : 'Gain over engine speed')
  page.put(...plot)
}

/** Sizes beside a published difference: what is as large as the difference explains it without any part. */
function sayOtherCauses(page: Page, causes: readonly OtherCause[]): void {
  if (causes.length === 0) return
  const { signs } = page.look
  page.section('What could account for this difference on its own')
  for (const { size_percent, sentence, basis, isEnough } of causes) {
    const size = `${size_percent.toFixed(1)} %${isEnough ? ', all of it' : ''}`
    page.say(`${size}: ${sentence} (${basis})`, { first: `  ${isEnough ? signs.middling : signs.bullet} ` })
  }
}

function sayNextSteps(page: Page, steps: readonly NextStep[]): void {
  if (steps.length === 0) return
  page.section('What to do next, the cheapest first')
  steps.forEach((step, index) => {
    const settles = step.settles.length === 0 ? '' : ` (settles ${step.settles.join(', ')})`
    page.say(`${costWords[step.cost]}: ${step.sentence}${settles}`, { first: `  ${index + 1}. ` })
  })
}

function sayCautions(page: Page, { cautions }: Result): void {
  if (cautions.length === 0) return
  page.section('Safety')
  for (const { sentence } of cautions) page.say(sentence, { first: `  ${page.look.signs.middling} ` })
}

function sayAccounting(page: Page, { accounting }: Result): void {
  const { recorded, used, excluded, notMeasured, unlisted, unaccounted, perSide } = accounting
  page.section('What became of the runs')
  page.say(
    `${counted(recorded, 'run')} recorded; ${used.length} used: ${perSide.baseline} baseline, ${perSide.modified} modified.`,
    { first: '  ' },
  )
  for (const { run, rule, reason } of excluded) page.say(`${run} left out (${rule}): ${reason}`, { first: '  ' })
  if (notMeasured.length > 0) page.say(`Not for measuring: ${notMeasuredText(notMeasured)}.`, { first: '  ' })
  if (unlisted > 0)
    page.say(`${counted(unlisted, 'number')} of the rig's counter declared as other work.`, { first: '  ' })
  if (unaccounted.length > 0)
    page.say(`Nobody accounts for ${unaccounted.join(', ')} of the rig's counter.`, { first: '  ', tint: 'bad' })
}

function notMeasuredText(runs: Result['accounting']['notMeasured']): string {
  return runs.map(({ run, purpose }) => `${run} (${purpose})`).join(', ')
}

/** Sentences shown of what a result does not show, unless all are asked for. */
const SHOWN_LIMITS = 5

function sayLimits(page: Page, { limits }: Result, full: boolean): void {
  if (limits.length === 0) return
  const shown = full ? limits : limits.slice(0, SHOWN_LIMITS)
  page.section('What this does not show')
  for (const sentence of shown) page.say(sentence, { first: `  ${page.look.signs.bullet} ` })
  if (shown.length < limits.length)
    page.say(`and ${limits.length - shown.length} more, see --json.`, { first: '    ', tint: 'quiet' })
}
