/** How often each fault is named by the check that is to name it. */
import { type OrdinaryFaultName, ordinaryFaults, simulateSession } from '@fairpull/sdk/testing'
import { bandMeanClaim, peakClaim, percent } from '../claims.ts'
import { expectedFindings, names, readsTraces } from '../expected-findings.ts'
import { table } from '../markdown.ts'
import { bareShare, printedShare } from '../proportion.ts'
import { type Assess, type Cell, type CellResults, countOf, type Study, type Tally } from '../study.ts'

const FAULTS = Object.keys(ordinaryFaults) as OrdinaryFaultName[]

/** Share in % that each fault is to reach. */
const TARGETS: Readonly<Record<OrdinaryFaultName, number | null>> = {
  gear: 100,
  'gear-declared': 100,
  'wrong-factor': 100,
  'intake-air': 100,
  duplicate: 100,
  order: 100,
  clipped: 100,
  unaccounted: 100,
  'tyre-pressure': null,
  'tyre-pressure-declared': 100,
  strap: null,
  'strap-declared': 100,
  'starvation-with-lambda': 99,
  'starvation-without-lambda': null,
  smoothing: 98,
  'heat-soak': 95,
}

const DESIGNS = ['A|B', 'A|B|A', 'A|A|B|B'] as const

function cellOf(fault: OrdinaryFaultName): Cell {
  return {
    id: fault,
    score: async (seed, assess): Promise<Tally> => {
      const { comparison } = simulateSession({
        seed,
        design: DESIGNS[seed % DESIGNS.length] ?? 'A|B',
        runsPerBlock: 2 + (seed % 2),
        gain: { shape: 'uniform', percent: 2 },
        claims: [bandMeanClaim('band-mean', percent(1)), peakClaim('peak', percent(1))],
        faults: [ordinaryFaults[fault]],
      })
      return scoreOf(await assess(comparison), fault)
    },
  }
}

function scoreOf(result: Awaited<ReturnType<Assess>>, fault: OrdinaryFaultName): Tally {
  const isSeen = !expectedFindings[fault].isInTraces || readsTraces(result)
  return {
    sessions: 1,
    readable: Number(isSeen),
    named: Number(isSeen && names(result, fault)),
    supported: Number(result.claims.some(({ judgement }) => judgement === 'supported')),
  }
}

function pageOf(results: CellResults): string {
  const rows = FAULTS.map((fault) => {
    const tally = results.get(fault)
    const target = TARGETS[fault]
    const of = countOf(tally, 'readable')
    return [
      fault,
      `\`${expectedFindings[fault].check}\``,
      of === 0 ? 'this protocol does not read the traces' : printedShare({ hits: countOf(tally, 'named'), of }),
      target === null ? 'reported' : `at least ${target}`,
      bareShare({ hits: countOf(tally, 'supported'), of: countOf(tally, 'sessions') }),
    ]
  })
  return [
    '## Faults named',
    '',
    'One fault a session, its evidence present, re-mounted designs of two or three runs a block. Share named by the right check, in %.',
    'A claim that is supported although a fault was put in is not wrong when the fault is small beside the gain. Smoothing is told',
    'by the noise that it takes away: on a rig whose samples hardly scatter only the declared processing tells of it.',
    '',
    table(['fault', 'check', 'named', 'target', 'a claim supported all the same'], rows),
  ].join('\n')
}

/** The study. */
export const detectionStudy: Study = {
  id: 'detection',
  sessions: { test: 10, default: 50, full: 1000 },
  cells: FAULTS.map(cellOf),
  page: pageOf,
}
