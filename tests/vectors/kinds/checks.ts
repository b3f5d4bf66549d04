import { mixtureTrace } from '../../../packages/sdk/src/engine/statistics/detectors/mixture-trace.ts'
import { slipWithinRun } from '../../../packages/sdk/src/engine/statistics/detectors/slip-within-run.ts'
import { traceQuality } from '../../../packages/sdk/src/engine/statistics/detectors/trace-quality.ts'
import { gridOf, onGrid } from '../../../packages/sdk/src/engine/statistics/grid.ts'
import { returnedToBaseline } from '../../../packages/sdk/src/engine/statistics/returned-to-baseline.ts'

type Grade = 'met' | 'marginal' | 'breached'

/** The worst of several grades. */
function worst(grades: readonly Grade[]): Grade {
  if (grades.includes('breached')) return 'breached'
  return grades.includes('marginal') ? 'marginal' : 'met'
}

function atMost(value: number, met: number, marginal: number): Grade {
  if (value <= met) return 'met'
  return value <= marginal ? 'marginal' : 'breached'
}

const atLeast = (value: number, met: number, marginal: number) => atMost(-value, -met, -marginal)

interface ReturnedCase {
  readonly m1: number
  readonly m2: number
  readonly n1: number
  readonly n2: number
  readonly t1: number
  readonly t2: number
  readonly v_r: number | null
  readonly nu_r: number
  readonly v_m: number | null
  readonly sigma_d: number
  readonly other_mounting: boolean
}

function returned(block: ReturnedCase): unknown {
  const { z, met, marginal } = returnedToBaseline({
    means: [block.m1, block.m2],
    sizes: [block.n1, block.n2],
    meanT: [block.t1, block.t2],
    runVariance: block.v_r,
    runDof: block.nu_r,
    mountVariance: block.v_m,
    driftSd: block.sigma_d,
    inAnotherMounting: block.other_mounting,
  })
  return { z, finding: z === null ? 'not-evidenced' : atMost(z, met, marginal) }
}

function ratio({ rpm, speed }: { rpm: number[]; speed: number[] }): unknown {
  const { growth, step } = slipWithinRun({
    engineSpeed_rpm: Float64Array.from(rpm),
    rollerSpeed_m_per_s: Float64Array.from(speed, (value) => value / 3.6),
  })
  return { growth, step, finding: worst([atMost(growth, 0.04, 0.06), atMost(step, 0.01, 0.01)]) }
}

function fuelling({ rpm, lam }: { rpm: number[]; lam: number[] }): unknown {
  const curve = { engineSpeed_rpm: Float64Array.from(rpm), power: Float64Array.from(lam) }
  const grid = gridOf([curve])
  if (grid === null) return null
  const { dispersion, isLean, isTooLean } = mixtureTrace(onGrid(curve, grid))
  const excursion: Grade = isTooLean ? 'breached' : isLean ? 'marginal' : 'met'
  return { sd: dispersion, caution: isLean, finding: worst([excursion, atMost(dispersion, 0.03, 0.05)]) }
}

function trace({
  rpm,
  throttle,
  r1,
  r2,
}: {
  rpm: number[]
  throttle: number[] | null
  r1: number
  r2: number
}): unknown {
  const channel = throttle === null ? null : Float64Array.from(throttle)
  const quality = traceQuality(Float64Array.from(rpm), channel, { from_rpm: r1, to_rpm: r2 })
  const { density, largestGap_rpm: gap, throttle: held, isCovered: covered } = quality
  const finding = worst([
    atLeast(density, 4, 2),
    atMost(gap, 250, 500),
    held === null ? 'met' : atLeast(held, 0.95, 0.9),
    covered ? 'met' : 'breached',
  ])
  return { density, gap, throttle: held, covered, finding }
}

interface ChecksVector {
  readonly returned: ReturnedCase[]
  readonly ratio: { rpm: number[]; speed: number[] }[]
  readonly fuelling: { rpm: number[]; lam: number[] }[]
  readonly trace: { rpm: number[]; throttle: number[] | null; r1: number; r2: number }[]
}

/** Kind `checks`. */
export function checks(input: ChecksVector): unknown {
  return {
    returned: input.returned.map(returned),
    ratio: input.ratio.map(ratio),
    fuelling: input.fuelling.map(fuelling),
    trace: input.trace.map(trace),
  }
}
