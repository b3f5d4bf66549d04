/** F1 and F5: what an assessment costs, what the method costs in numpy, and how the cost grows. */
import { execFile } from 'node:child_process'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { methodSession } from '../agreement/method-session.ts'
import { judgedInNumpy } from '../agreement/numpy.ts'
import { root } from '../support/source-files.ts'
import { benchComparison } from './comparison.ts'
import { growthExponent, median } from './figures.ts'
import { against, type Row, type Section } from './results-page.ts'

const ROUNDS = 15
const TIMES = [1, 2, 4, 8, 16]
const MOST_GROWTH = 1.1

const NUMPY_ROUNDS = 40
const LEAST_RATIO = 5

/** The session of the bench by the whole method in numpy: sweeps, detectors, intervals, band, claims. Null without numpy. [ms] */
function numpy_ms(): number | null {
  try {
    const [answer] = judgedInNumpy([methodSession(benchComparison())], NUMPY_ROUNDS)
    return answer === undefined ? null : median(answer.ms)
  } catch {
    return null
  }
}

function againstNumpy(engine_ms: number): Row {
  const what = 'the same session, engine alone, against the method in numpy and scipy'
  const numpy = numpy_ms()
  if (numpy === null) {
    return { what, figure: 'not measured: python3 with numpy and scipy is not here', target: 'F1 ≥ 5 ×: open' }
  }
  return {
    what,
    figure: `${(numpy / engine_ms).toFixed(2)} × (${engine_ms.toFixed(1)} against ${numpy.toFixed(1)} ms)`,
    target: against(`F1 ≥ ${LEAST_RATIO} ×`, numpy / engine_ms >= LEAST_RATIO),
  }
}

/** Measures the engine. */
export async function engineBench(): Promise<Section> {
  const program = join(root, 'tests/bench/programs/engine.mjs')
  const { stdout } = await promisify(execFile)(process.execPath, [program, String(ROUNDS)], { maxBuffer: 1e8 })
  const { figures, bytes } = JSON.parse(stdout) as { figures: Record<string, number[]>; bytes: number }
  const of = (name: string) => median(figures[name] ?? [])
  const growth = (kind: string) => growthExponent(TIMES.map((times) => [times, of(`${kind} ${times}`)]))
  const steps = (kind: string) => TIMES.map((times) => of(`${kind} ${times}`).toFixed(1)).join(', ')
  const [samples, runs] = [growth('samples'), growth('runs')]
  return {
    title: 'Engine',
    rows: [
      {
        what: '12 runs × 2,000 samples × 5 channels, engine alone',
        figure: `${of('engine').toFixed(1)} ms = ${(of('engine') / of('parse')).toFixed(1)} × \`JSON.parse\` of the same document (${(bytes / 1e6).toFixed(2)} MB, ${of('parse').toFixed(1)} ms)`,
        target: '',
      },
      {
        what: 'the same with all digests (`assess`)',
        figure: `${of('assess').toFixed(1)} ms = ${(of('assess') / of('parse')).toFixed(1)} ×`,
        target: '',
      },
      {
        what: 'growth with samples: 12 runs × 500 … 8,000',
        figure: `${steps('samples')} ms; exponent ${samples.toFixed(2)}`,
        target: against(`F5 ≤ ${MOST_GROWTH}`, samples <= MOST_GROWTH),
      },
      {
        what: 'growth with runs: 8 … 128 runs × 250 samples',
        figure: `${steps('runs')} ms; exponent ${runs.toFixed(2)}`,
        target: against(`F5 ≤ ${MOST_GROWTH}`, runs <= MOST_GROWTH),
      },
      againstNumpy(of('engine')),
    ],
    notes: [
      `CPU time of the process, collection of garbage included; medians of ${ROUNDS} rounds in which all cases take turns, after two that warm up.`,
      'An exponent is the slope of the logarithms over 1, 2, 4, 8 and 16 times; fixed costs make it smaller than the growth at the far end, which the figures themselves show.',
      `F1: numpy as tests/agreement/numpy has it, which agrees with the engine on every figure that both give (tests/agreement/RESULTS.md); medians of ${NUMPY_ROUNDS} rounds, the two one after the other. The engine does more in its time: uncorrected figures, as many checks again, the budget, alternatives, next steps, and every sentence.`,
    ],
  }
}
