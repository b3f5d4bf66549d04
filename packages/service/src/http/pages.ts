/** Chart, report and badge of a summary. What they show of whom is decided by the one who finds the source. */

import { UUID } from '../identity.ts'
import type { Caller } from '../ports.ts'
import { chartUnits, unitSlug } from '../report/chart/chart-units.ts'
import type { ReportSource } from '../report/report-source.ts'
import type { UseCases } from '../usecases/use-cases.ts'
import { type Answer, caching } from './answer.ts'
import { type Operation, operation } from './operation.ts'
import { badgeAnswer, chartAnswer, HTML_TYPE, reportAnswer, SVG_TYPE } from './page-answers.ts'
import { oneOf, textLike } from './parameter.ts'
import { nothingHere } from './problem.ts'
import type { Scope } from './scope.ts'

/** Under which address pages are found, by whom, and where their source comes from. */
export interface PagePlace<Access extends Scope | null> {
  /** Address of the thing that they show, without a slash at its end. */
  readonly base: string
  /** Beginning of the names of the operations, after `get`. */
  readonly name: string
  readonly tag: Operation['tag']
  readonly scope: Access
  readonly cacheControl: string
  /** The source; undefined when there is none, or none for this caller. */
  readonly find: (
    useCases: UseCases,
    caller: Access extends Scope ? Caller : undefined,
    id: string,
  ) => Promise<ReportSource | undefined>
}

/** The three operations of a place: chart, report, badge. */
export function pageOperations<Access extends Scope | null>(place: PagePlace<Access>): readonly Operation[] {
  const { base, name, tag, scope, cacheControl, find } = place
  const shared = {
    method: 'get',
    tag,
    scope,
    header: {},
    body: null,
    path: { id: textLike('Identity of the summary.', UUID, 'the id of a summary') },
    refusals: ['ERR_NOT_FOUND'],
  } as const
  const answered = async (source: Promise<ReportSource | undefined>, answer: (source: ReportSource) => Answer) => {
    const found = await source
    return found === undefined ? nothingHere() : answer(found)
  }
  return [
    operation({
      ...shared,
      id: `get${name}Chart`,
      address: `${base}/{id}/chart.svg`,
      summary: 'Draw the chart',
      description:
        'Both sides above, the gain with its bands below, as SVG without a script. Where there is no curve, the picture says so.',
      query: chartQuery,
      answers: { 200: { description: 'The chart.', schema: 'Text', mediaType: SVG_TYPE, headers: tagged } },
      handle: ({ caller, path, query }, { useCases }) =>
        answered(find(useCases, caller, path.id), (source) =>
          chartAnswer(source, { unit: 'kW', layout: 'wide', theme: 'auto', ...query }, cacheControl),
        ),
    }),
    operation({
      ...shared,
      id: `get${name}Report`,
      address: `${base}/{id}/report.html`,
      summary: 'Read the report',
      description:
        'One self-contained page without a script: the answer first, then all it rests on. It can be printed.',
      query: {},
      answers: { 200: { description: 'The report.', schema: 'Text', mediaType: HTML_TYPE, headers: tagged } },
      handle: ({ caller, path }, { useCases }) =>
        answered(find(useCases, caller, path.id), (source) => reportAnswer(source, cacheControl)),
    }),
    operation({
      ...shared,
      id: `get${name}Badge`,
      address: `${base}/{id}/badge.svg`,
      summary: 'Draw the badge',
      description: 'Standing, gain with interval, runs used of recorded, date, and whether it was withdrawn, as SVG.',
      query: {},
      answers: { 200: { description: 'The badge.', schema: 'Text', mediaType: SVG_TYPE, headers: tagged } },
      handle: ({ caller, path }, { useCases }) =>
        answered(find(useCases, caller, path.id), (source) => badgeAnswer(source, cacheControl)),
    }),
  ]
}

const tagged = {
  etag: 'Entity tag.',
  'content-security-policy': 'Lets nothing be loaded or run.',
} as const

const chartQuery = {
  unit: oneOf(
    'Unit of the upper picture; `kW` when absent.',
    Object.fromEntries(chartUnits.map((unit) => [unitSlug(unit), unit])),
  ),
  layout: oneOf('`wide`, or `narrow` for telephones; `wide` when absent.', { wide: 'wide', narrow: 'narrow' }),
  theme: oneOf('Light, dark, or as the reader’s system is; `auto` when absent.', {
    auto: 'auto',
    light: 'light',
    dark: 'dark',
  }),
} as const

/** The pages of an assessment, for those who submitted it. */
export const assessmentPages = pageOperations({
  base: '/v1/assessments',
  name: 'Assessment',
  tag: 'Assessments',
  scope: 'assessments:read',
  cacheControl: caching.revalidated,
  find: (useCases, caller, id) => useCases.findReportSource(caller.tenant, id),
})
