import type { SessionRun } from './session.ts'

/** Whether nobody here saw the recorded run: only a figure, or a curve read from a chart. */
export function isHearsay({ wire, channels }: SessionRun): boolean {
  return channels === null || wire.origin === 'reported' || wire.origin === 'read-from-chart'
}
