/** How often a product that does nothing is called supported, by what its vendor does. */
import { type Strategy, strategies } from '../cheating/strategies.ts'
import { table } from '../markdown.ts'
import { printedShare } from '../proportion.ts'
import { type Cell, type CellResults, countOf, type Study } from '../study.ts'

const COLUMNS = ['planned', 'unplanned', 'welch', 'best'] as const

function cellOf({ id, play }: Strategy): Cell {
  return {
    id,
    score: async (seed, assess) => {
      const outcome = await play(seed, assess)
      return { products: 1, ...Object.fromEntries(COLUMNS.map((column) => [column, Number(outcome[column])])) }
    },
  }
}

function pageOf(results: CellResults): string {
  const rows = strategies.map(({ id, does, stoppedBy }) => {
    const tally = results.get(id)
    const of = countOf(tally, 'products')
    const shares = COLUMNS.map((column) => printedShare({ hits: countOf(tally, column), of }))
    return [`**${id}**: ${does}`, ...shares, stoppedBy ?? 'nothing: reported']
  })
  return [
    '## Cheating',
    '',
    'Share of products with no gain at all for which "gains at least 0.01 hp" ends as supported, in %. Target: at most 3 in the first',
    'column for every strategy that a plan can stop. What a plan enforces is applied here as the rules of the plan discipline say:',
    'runs and mountings as planned, one session, one registered claim, the record from the register, alpha divided among open plans.',
    '',
    table(
      [
        'strategy',
        'supported, pre-registered',
        'supported, no plan',
        'Welch on the runs',
        'best against best',
        'stopped by',
      ],
      rows,
    ),
  ].join('\n')
}

/** The study. */
export const cheatingStudy: Study = {
  id: 'cheating',
  sessions: { test: 25, default: 60, full: 10_000 },
  cells: strategies.map(cellOf),
  page: pageOf,
}
