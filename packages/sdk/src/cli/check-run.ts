/** What single runs show by themselves: between two pulls, while the machine is still strapped down. */
import type { RunCheckReport, RunCheckRequest } from '../contract/index.ts'
import { comparisonOfRun } from '../contract/read-run-check.ts'
import { readInput, type SharedOptions, type Surroundings, show } from './command.ts'
import { CommandError } from './command-error.ts'
import { type ExitCode, exitCodes } from './exit-codes.ts'
import { folderOf } from './io.ts'
import type { Page } from './page.ts'
import { sayFindings } from './render-findings.ts'
import { counted } from './text.ts'

/** `fairpull check FILE`: a run with what stands beside it, or a comparison file, of which every measured run is looked at. */
export async function checkRunFile(around: Surroundings, path: string, options: SharedOptions): Promise<ExitCode> {
  const { io, tools } = around
  const text = await readInput(io, path, 'fairpull check --help')
  const comparison = await tools.readComparison(asComparison(text), (name) => io.files.read(folderOf(path) + name))
  const reports = await tools.checkEachRun(comparison)
  if (reports.length === 0) {
    throw new CommandError('input', `${path} holds no measured run.`, 'fairpull check --help')
  }
  show(io, options, reports, (page) => {
    page.say(path, { tint: 'heading' })
    for (const report of reports) sayReport(page, report, options.full ?? false)
    page.put('')
    for (const { sentence } of cautionsOf(reports)) page.say(sentence, { first: `${page.look.signs.middling} ` })
  })
  return reports.every(({ isUsable }) => isUsable) ? exitCodes.done : exitCodes.limited
}

/** A document with one `run` as a comparison of that run, so that its channels may lie in a file, too. */
function asComparison(text: Uint8Array): Uint8Array {
  const value = parsed(text)
  if (typeof value !== 'object' || value === null || !('run' in value)) return text
  const { run: _, vehicle: __, driveTyre: ___, mounting: ____, ...rest } = value as RunCheckRequest
  return new TextEncoder().encode(JSON.stringify({ ...rest, ...comparisonOfRun(value as RunCheckRequest) }))
}

/** Undefined where the text is no JSON: the reader of comparisons then says where. */
function parsed(text: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder().decode(text))
  } catch {
    return undefined
  }
}

function sayReport(page: Page, { run, verdict, isUsable, findings, trace }: RunCheckReport, isFull: boolean): void {
  page.section(`Run ${run}`)
  page.say(verdict, { first: '  ', tint: isUsable ? 'good' : 'bad' })
  if (trace !== null) page.say(traceText(trace), { first: '  ', tint: 'quiet' })
  sayFindings(page, findings, isFull ? 'full' : 'usual')
}

function traceText({ used, recorded, from_rpm, to_rpm, spikes }: NonNullable<RunCheckReport['trace']>): string {
  const out = spikes === 0 ? '' : `; ${counted(spikes, 'spike')} taken out`
  return `Sweep from ${Math.round(from_rpm)} to ${Math.round(to_rpm)} rpm, ${used} of ${recorded} samples${out}.`
}

/** Each caution once. */
function cautionsOf(reports: readonly RunCheckReport[]): RunCheckReport['cautions'] {
  const all = reports.flatMap(({ cautions }) => cautions)
  return [...new Map(all.map((caution) => [caution.sentence, caution])).values()]
}
