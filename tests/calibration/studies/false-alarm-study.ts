/** How often a check is breached although nothing is wrong. */
import type { Finding, Result } from '@fairpull/sdk/contract'
import { createRandom, drawDisclosure, simulateSession } from '@fairpull/sdk/testing'
import { bandMeanClaim, peakClaim, percent } from '../claims.ts'
import { table } from '../markdown.ts'
import { printedShare } from '../proportion.ts'
import { type Cell, type CellResults, countOf, type Study, type Tally } from '../study.ts'

/** Checks that speak of the design itself: breached by a small design on purpose, so never a false alarm. */
const OF_THE_DESIGN: ReadonlySet<string> = new Set(['mountings-enough', 'runs-enough', 'planned-before'])

/** A clean session does not drift. */
const STEADY = { isSteady: true, driftPerRun_1: 0, warmUp_1: 0 }

const DESIGNS = ['AB', 'ABA', 'ABAB', 'A|B', 'A|B|A', 'AB|AB', 'A|A|A|B|B|B'] as const

function cellOf(design: string): Cell {
  return {
    id: design,
    score: async (seed, assess): Promise<Tally> => {
      const random = createRandom(seed).fork('choices')
      const { comparison } = simulateSession({
        seed,
        design,
        runsPerBlock: random.pick([1, 2, 3, 6]),
        gain: { shape: 'uniform', percent: 6 * random.uniform() - 1 },
        claims: [bandMeanClaim('band-mean', percent(1)), peakClaim('peak', percent(1))],
        disclosure: drawDisclosure(random),
        trend: STEADY,
      })
      return scoreOf(await assess(comparison))
    },
  }
}

function scoreOf(result: Result): Tally {
  const alarms = result.findings.filter(isAlarm)
  const withoutDrift = alarms.filter(({ check }) => check !== 'drift-free')
  return {
    sessions: 1,
    any: Number(alarms.length > 0),
    'any but drift': Number(withoutDrift.length > 0),
    invalid: Number(result.standing === 'invalid'),
    ...Object.fromEntries(alarms.map(({ check }) => [`check ${check}`, 1])),
  }
}

/** Breached, or marginal where that alone makes claims undecided. */
function isAlarm({ check, status }: Finding): boolean {
  if (OF_THE_DESIGN.has(check)) return false
  return status === 'breached' || (status === 'marginal' && check === 'engine-temperature-matched')
}

function pageOf(results: CellResults): string {
  const sum = (name: string) => [...results.values()].reduce((total, tally) => total + countOf(tally, name), 0)
  const of = sum('sessions')
  const checks = [...new Set([...results.values()].flatMap((tally) => Object.keys(tally)))].filter((name) =>
    name.startsWith('check '),
  )
  const rows = [
    ['any but drift-free', printedShare({ hits: sum('any but drift'), of }), 'at most 1'],
    ['any', printedShare({ hits: sum('any'), of }), 'at most 2'],
    ['standing invalid', printedShare({ hits: sum('invalid'), of }), '–'],
    ...checks
      .toSorted()
      .map((name) => [`\`${name.slice('check '.length)}\``, printedShare({ hits: sum(name), of }), '–']),
  ]
  return [
    '## False alarms on clean comparisons',
    '',
    `Sessions with nothing wrong, no drift and everything recorded, one day, ${DESIGNS.length} designs, 1 to 6 runs a block, the mix of records. An alarm is`,
    'a breached check, or a marginal engine temperature. Checks that speak of the size of the design are not counted.',
    '',
    table(['alarm', '% of sessions', 'target'], rows),
  ].join('\n')
}

/** The study. */
export const falseAlarmStudy: Study = {
  id: 'false-alarms',
  sessions: { test: 25, default: 100, full: 3000 },
  cells: DESIGNS.map(cellOf),
  page: pageOf,
}
