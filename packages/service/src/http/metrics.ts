/** Figures of the service's own work, for whoever operates it. */
import { Counter, collectDefaultMetrics, Histogram, Registry } from 'prom-client'
import { caching, textBytes } from './answer.ts'
import type { RequestEntry } from './log.ts'
import { operation } from './operation.ts'

/** Figures that are kept while the service runs. */
export interface Metrics {
  /** Takes note of an answered request. */
  record(entry: RequestEntry): void
  /** All figures in the Prometheus text format 0.0.4. */
  text(): Promise<string>
}

/** Bounds of the durations that are told apart. [s] */
const DURATION_BOUNDS_S = [0.001, 0.005, 0.01, 0.05, 0.1, 0.5, 1, 5]

/** Makes the figures of one application. @param ofProcess whether those of the process are collected as well */
export function createMetrics(ofProcess: boolean): Metrics {
  const registry = new Registry()
  if (ofProcess) collectDefaultMetrics({ register: registry })
  const requests = new Counter({
    name: 'fairpull_requests_total',
    help: 'Requests answered, by operation, status and code of the refusal.',
    labelNames: ['operation', 'status', 'code'],
    registers: [registry],
  })
  const durations = new Histogram({
    name: 'fairpull_request_duration_seconds',
    help: 'Time from the head of a request to its answer.',
    labelNames: ['operation'],
    buckets: DURATION_BOUNDS_S,
    registers: [registry],
  })
  return {
    record: ({ operation: id, status, code, duration_ms }) => {
      requests.inc({ operation: id ?? 'none', status, code: code ?? '' })
      durations.observe({ operation: id ?? 'none' }, duration_ms / 1000)
    },
    text: () => registry.metrics(),
  }
}

/** Prometheus text format. */
const METRICS_TYPE = 'text/plain; version=0.0.4; charset=utf-8'

/** GET /metrics: the figures. */
export const getMetrics = operation({
  id: 'getMetrics',
  method: 'get',
  address: '/metrics',
  tag: 'Service',
  summary: 'Read the figures of the service',
  description:
    'Requests answered and how long they took, by operation, and the state of the process, in the Prometheus text ' +
    'format. Every replica counts for itself. They tell how busy the service is, so they take a key.',
  scope: 'metrics:read',
  path: {},
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The figures.', schema: 'Text', mediaType: METRICS_TYPE } },
  refusals: [],
  handle: async (_request, { metricsText }) => ({
    status: 200,
    headers: { 'content-type': METRICS_TYPE, 'cache-control': caching.none },
    body: textBytes(await metricsText()),
  }),
})
