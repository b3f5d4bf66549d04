import type { CellResults, RunSize, Study } from './study.ts'

/**
 * The results page.
 *
 * @param results sums by study and cell.
 */
export function resultsPage(
  studies: readonly Study[],
  results: ReadonlyMap<string, CellResults>,
  run: { readonly size: RunSize; readonly minutes: number },
): string {
  const pages = studies.map((study) => study.page(results.get(study.id) ?? new Map()))
  return `${[head(run.size), ...pages].join('\n\n')}\n`
}

function head(size: RunSize): string {
  return [
    '# Calibration',
    '',
    `Written by \`npm run calibrate${size === 'full' ? ' -- --full' : ''}\`; do not edit. Every session is simulated from a seed, so the figures come out`,
    'again. The simulator (`@fairpull/sdk/testing`) is written from the description of the measurement, not from the engine, and knows',
    'what is true. Sizes of noise and faults are assumptions: these figures show that the method does what it says when its',
    'assumptions hold, not that they hold in your cell. Shares are in %, with the 95 % interval of the simulation in brackets.',
  ].join('\n')
}
