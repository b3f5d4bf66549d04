import type { CellResults, Study } from './study.ts'

/**
 * The results page.
 *
 * @param results sums by study and cell.
 * @param run how it was asked for, and how many sessions each cell of a study has.
 */
export function resultsPage(
  studies: readonly Study[],
  results: ReadonlyMap<string, CellResults>,
  run: { readonly command: string; readonly sessionsOf: (study: Study) => number },
): string {
  const counts = studies.map((study) => `${study.id} ${run.sessionsOf(study)}`).join(', ')
  const pages = studies.map((study) => study.page(results.get(study.id) ?? new Map()))
  return `${[head(run.command, counts), ...pages].join('\n\n')}\n`
}

function head(command: string, counts: string): string {
  return [
    '# Calibration',
    '',
    `Written by \`${command}\`; do not edit. Every session is simulated from a seed, so the figures come out`,
    'again. The simulator (`@fairpull/sdk/testing`) is written from the description of the measurement, not from the engine, and knows',
    'what is true. Sizes of noise and faults are assumptions: these figures show that the method does what it says when its',
    'assumptions hold, not that they hold in your cell. Shares are in %, with the 95 % interval of the simulation in brackets.',
    '',
    `Sessions in each cell of a study: ${counts}.`,
  ].join('\n')
}
