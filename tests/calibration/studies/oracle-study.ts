/** How much support an honest vendor gets, against somebody who knows every variance. */
import { oracleGain, simulateSession } from '@fairpull/sdk/testing'
import { bandMeanClaim, claimedBand, percent } from '../claims.ts'
import { table } from '../markdown.ts'
import { printedShare } from '../proportion.ts'
import { type Cell, type CellResults, countOf, type Study, type Tally } from '../study.ts'

/** True gain, and what is claimed of it: 1.5 hp of slack at 100 hp. [%] */
const GAIN_PERCENT = 4
const SLACK_PERCENT = 1.5

/** One-sided normal quantile of 2.5 %. */
const Z = 1.959_963_985

const LAYOUTS = [
  ...['AB', 'ABA', 'A|B', 'A|B|A', 'A|B|A|B', 'AB|AB', 'A|A|A|B|B|B'].flatMap((design) =>
    [1, 2, 3, 6].map((runs) => ({ design, runs })),
  ),
  { design: 'ABABAB', runs: 1 },
]

function cellOf({ design, runs }: (typeof LAYOUTS)[number]): Cell {
  return {
    id: `${design} ${runs}`,
    score: async (seed, assess): Promise<Tally> => {
      const { comparison, truth } = simulateSession({
        seed,
        design,
        runsPerBlock: runs,
        gain: { shape: 'uniform', percent: GAIN_PERCENT },
        claims: [bandMeanClaim('band-mean', percent(GAIN_PERCENT - SLACK_PERCENT))],
        channels: 'power-only',
      })
      const oracle = oracleGain(truth, claimedBand)
      const limit = Math.log1p((GAIN_PERCENT - SLACK_PERCENT) / 100)
      const result = await assess(comparison)
      return {
        sessions: 1,
        ours: Number(result.claims[0]?.judgement === 'supported'),
        oracle: Number((oracle.estimate - limit) / oracle.standardDeviation >= Z),
      }
    },
  }
}

function pageOf(results: CellResults): string {
  const rows = LAYOUTS.map((layout) => {
    const tally = results.get(cellOf(layout).id)
    const of = countOf(tally, 'sessions')
    return [
      `\`${layout.design.replaceAll('|', '\\|')}\``,
      String(layout.runs),
      ...sharesOf(countOf(tally, 'ours'), countOf(tally, 'oracle'), of),
    ]
  })
  const sum = (name: string) => [...results.values()].reduce((total, tally) => total + countOf(tally, name), 0)
  return [
    '## Support of a true claim, against an oracle',
    '',
    `True gain ${GAIN_PERCENT} %, claim "at least ${GAIN_PERCENT - SLACK_PERCENT} %" band mean, full facility record. The oracle knows every variance, its own session's`,
    'included, and weighs the runs by them. Target: at least 0.9 times its support.',
    '',
    table(
      ['design', 'runs a block', 'this method', 'oracle', 'ratio'],
      [...rows, ['all', '', ...sharesOf(sum('ours'), sum('oracle'), sum('sessions'))]],
    ),
  ].join('\n')
}

function sharesOf(ours: number, oracle: number, of: number): readonly string[] {
  return [
    printedShare({ hits: ours, of }),
    printedShare({ hits: oracle, of }),
    oracle === 0 ? '–' : (ours / oracle).toFixed(3),
  ]
}

/** The study. */
export const oracleStudy: Study = {
  id: 'oracle',
  sessions: { test: 30, default: 60, full: 2000 },
  cells: LAYOUTS.map(cellOf),
  page: pageOf,
}
