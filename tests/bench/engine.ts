/** F1 and F5: what an assessment costs, what its core costs in numpy, and how the cost grows. */
import { execFile, execFileSync } from 'node:child_process'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { root } from '../support/source-files.ts'
import { benchComparison } from './comparison.ts'
import { growthExponent, median } from './figures.ts'
import { against, type Row, type Section } from './results-page.ts'

const ROUNDS = 15
const TIMES = [1, 2, 4, 8, 16]
const MOST_GROWTH = 1.1

const CORE_ROUNDS = 60
const LEAST_RATIO = 5

/** Largest difference between two programmes that do the same. [relative gain] */
const AGREEMENT = 1e-9

interface CoreResult {
  readonly intervals: readonly (readonly number[])[]
  readonly gain: readonly number[]
  readonly low: readonly number[]
  readonly high: readonly number[]
}

interface CoreRun {
  readonly ms: readonly number[]
  readonly result: CoreResult
}

/** What a facility declares of itself, in the names of the engine. */
const CORE_RECORD = {
  repeatRelSd: 0.005,
  repeatDof: 8,
  localRelSd: 0.003,
  localCorrelation_rpm: 200,
  localProfile: null,
  mountRelSd: 0.005,
  mountDof: 10,
  mountShapeRelSd: null,
  dayRelSd: null,
  dayDof: null,
  driftRelSdPerRun: 0.002,
  driftDof: 20,
  ambientFracSd: 0.25,
  ambientDof: 20,
  status: {},
}

/** The runs of the bench as both programmes take them; on one day, in the order they were made. */
function coreSession() {
  const runs = benchComparison().runs.filter(({ channels }) => channels !== undefined)
  return {
    runs: runs.map(({ channels }) => ({ speed: channels?.engineSpeed?.values, power: channels?.wheelPower?.values })),
    side: runs.map(({ side }) => (side === 'baseline' ? 0 : 1)),
    mounting: runs.map(({ mounting }) => mounting),
    t: runs.map((_, at) => at),
    factors: runs.map(() => 1),
    from_rpm: 5000,
    to_rpm: 9000,
  }
}

/** The core of the method, by the engine and by numpy on the same session. */
function againstNumpy(): Row {
  const what = 'curves, intervals and band of 12 runs × 2,000 samples, against the same in numpy and scipy'
  const input = JSON.stringify({ session: coreSession(), record: CORE_RECORD })
  const run = (command: string, script: string): CoreRun =>
    JSON.parse(
      execFileSync(command, [join(root, 'tests/bench', script), String(CORE_ROUNDS)], {
        encoding: 'utf8',
        input,
        maxBuffer: 1e8,
        stdio: ['pipe', 'pipe', 'ignore'],
      }),
    )
  const ours = run(process.execPath, 'programs/core.mjs')
  let theirs: CoreRun
  try {
    theirs = run('python3', 'numpy/core.py')
  } catch {
    return { what, figure: 'not measured: python3 with numpy and scipy is not here', target: 'F1 ≥ 5 ×: open' }
  }
  const apart = difference(ours.result, theirs.result)
  const [engine, numpy] = [median(ours.ms), median(theirs.ms)]
  const told = apart <= AGREEMENT ? '' : `; the figures differ by ${apart}`
  return {
    what,
    figure: `${(numpy / engine).toFixed(2)} × (${engine.toFixed(2)} against ${numpy.toFixed(2)} ms)${told}`,
    target: against(`F1 ≥ ${LEAST_RATIO} ×`, numpy / engine >= LEAST_RATIO && apart <= AGREEMENT),
  }
}

function difference(one: CoreResult, other: CoreResult): number {
  const figures = ({ intervals, gain, low, high }: CoreResult) => [...intervals.flat(), ...gain, ...low, ...high]
  const [a, b] = [figures(one), figures(other)]
  if (a.length !== b.length) return Number.POSITIVE_INFINITY
  return Math.max(...a.map((value, at) => Math.abs(value - (b[at] ?? Number.NaN))))
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
      againstNumpy(),
    ],
    notes: [
      `CPU time of the process, collection of garbage included; medians of ${ROUNDS} rounds in which all cases take turns, after two that warm up.`,
      'An exponent is the slope of the logarithms over 1, 2, 4, 8 and 16 times; fixed costs make it smaller than the growth at the far end, which the figures themselves show.',
      `F1 is of the core only, which numpy/core.py does once more from the text of the method: curves, scalar interval, simultaneous band. Reading, checks, claims and words are in neither. Both give the same figures to ${AGREEMENT}, or the row says so; medians of ${CORE_ROUNDS} rounds, the two programmes one after the other.`,
    ],
  }
}
