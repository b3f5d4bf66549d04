/** Pages and pictures as answers, each with the policy that lets nothing else in. */

import { BADGE_STYLE, badge } from '../report/badge.ts'
import { type ChartOptions, chartDocument } from '../report/chart/chart.ts'
import { chartData } from '../report/chart/chart-data.ts'
import { chartStyle, type Theme } from '../report/chart/chart-style.ts'
import { textOf } from '../report/markup.ts'
import { contentHash, type Page } from '../report/page.ts'
import { reportPage } from '../report/report.ts'
import type { ReportSource } from '../report/report-source.ts'
import { type Answer, entityTag, textBytes } from './answer.ts'

/** Media types of pages and pictures. */
export const HTML_TYPE = 'text/html; charset=utf-8'
export const SVG_TYPE = 'image/svg+xml'

/** How a chart is asked for. */
export interface ChartRequest extends Pick<ChartOptions, 'unit' | 'layout'> {
  readonly theme: Theme
}

/** A page. */
export function pageAnswer({ html, policy }: Page, cacheControl: string): Answer {
  return documentAnswer({ type: HTML_TYPE, text: html, policy, cacheControl })
}

/** The chart of a summary. */
export function chartAnswer(
  { payload, comparison }: ReportSource,
  { unit, layout, theme }: ChartRequest,
  cacheControl: string,
): Answer {
  const drawn = chartDocument(chartData(payload.result, comparison), { unit, layout, theme, idPrefix: 'chart' })
  return pictureAnswer(textOf(drawn), chartStyle(theme), cacheControl)
}

/** The report of a summary. */
export function reportAnswer(source: ReportSource, cacheControl: string): Answer {
  return pageAnswer(reportPage(source), cacheControl)
}

/** The badge of a summary. */
export function badgeAnswer(source: ReportSource, cacheControl: string): Answer {
  return pictureAnswer(textOf(badge(source)), BADGE_STYLE, cacheControl)
}

/** A picture may be opened as a document of its own, so it has a policy as well. */
function pictureAnswer(text: string, style: string, cacheControl: string): Answer {
  const policy = `default-src 'none'; style-src '${contentHash(style)}'; frame-ancestors 'none'`
  return documentAnswer({ type: SVG_TYPE, text, policy, cacheControl })
}

interface Document {
  readonly type: string
  readonly text: string
  readonly policy: string
  readonly cacheControl: string
}

function documentAnswer({ type, text, policy, cacheControl }: Document): Answer {
  const body = textBytes(text)
  return {
    status: 200,
    headers: {
      'content-type': type,
      'content-security-policy': policy,
      'cache-control': cacheControl,
      etag: entityTag(body),
    },
    body,
  }
}
