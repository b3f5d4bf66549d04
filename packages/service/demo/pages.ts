/** The pages of the demo's comparisons: written for people to open, and as digests to be held against another runtime's. */
import { createHash } from 'node:crypto'
import type { Comparison, IssuedSummary } from '@fairpull/sdk/contract'
import { badge } from '../src/report/badge.ts'
import { chartDocument } from '../src/report/chart/chart.ts'
import { chartData } from '../src/report/chart/chart-data.ts'
import { chartUnits, unitSlug } from '../src/report/chart/chart-units.ts'
import { textOf } from '../src/report/markup.ts'
import { reportPage } from '../src/report/report.ts'

/** A file of a page. */
export interface PageFile {
  /** Name without folder, with its ending. */
  readonly name: string
  readonly text: string
}

/** Chart, report and badge of an issued summary, as the service would serve them. */
export function pageFiles(name: string, answer: IssuedSummary, comparison: Comparison): readonly PageFile[] {
  const { payload, summary } = answer
  const source = { payload, jws: summary, status: 'private', comparison } as const
  const data = chartData(payload.result, comparison)
  const chart = { layout: 'wide', theme: 'auto', idPrefix: 'chart' } as const
  return [
    { name: `${name}.report.html`, text: reportPage(source).html },
    { name: `${name}.badge.svg`, text: textOf(badge(source)) },
    ...chartUnits.map((unit) => ({
      name: `${name}.chart${unit === 'kW' ? '' : `.${unitSlug(unit)}`}.svg`,
      text: textOf(chartDocument(data, { ...chart, unit })),
    })),
  ]
}

/** SHA-256 of each file, lower-case hex, by its name. */
export function digestsOf(files: readonly PageFile[]): Readonly<Record<string, string>> {
  return Object.fromEntries(files.map(({ name, text }) => [name, createHash('sha256').update(text).digest('hex')]))
}
