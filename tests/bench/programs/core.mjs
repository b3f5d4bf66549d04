// The core of the method by the engine, timed as numpy/core.py times its own: sweeps, grid and smoothing, the scalar interval
// absolute and relative, the simultaneous band. Takes what that takes, and prints what that prints: the figures, and CPU
// milliseconds, one per round.
import { readFileSync } from 'node:fs'
import { scalarInterval, simultaneousBand } from '@fairpull/sdk/engine'

const statistics = (name) =>
  import(new URL(`../engine/statistics/${name}.js`, import.meta.resolve('@fairpull/sdk/engine')))
const { sweepCurve } = await statistics('sweep-curve')
const { bandMean, gridKernel, gridOf, onGrid, rangeOf, smoothedOnGrid } = await statistics('grid')

const ROUNDS = Number(process.argv[2])
/** Rounds before the first that counts: until then the compiler is at work beside the method. */
const WARM_UP = 100
const { session, record } = JSON.parse(readFileSync(0, 'utf8'))
const { from_rpm, to_rpm } = session

const sweeps = session.runs.map(({ speed, power }) => [Float64Array.from(speed), Float64Array.from(power)])
const known = {
  sides: session.side,
  mountings: session.mounting,
  t: Float64Array.from(session.t),
  factors: session.factors,
  days: null,
  record,
  hasWarmUpTerm: false,
  isOrderKnown: true,
}

function core() {
  const raw = sweeps.map(([speed, power]) => sweepCurve(speed, power))
  const grid = gridOf(raw)
  const kernel = gridKernel(grid)
  const curves = raw.map((curve) => smoothedOnGrid(onGrid(curve, grid), kernel))
  const range = rangeOf(grid, from_rpm, to_rpm)
  const values = Float64Array.from(curves, (curve) => bandMean(curve, range))
  const scalar = (isRelative) => scalarInterval({ ...known, values, width_rpm: to_rpm - from_rpm, isRelative }).fit
  const { engineSpeed_rpm } = grid
  const [gridStart_rpm, gridEnd_rpm] = [engineSpeed_rpm[0], engineSpeed_rpm.at(-1)]
  const whole = { engineSpeed_rpm, gridStart_rpm, gridEnd_rpm, from_rpm: gridStart_rpm, to_rpm: gridEnd_rpm }
  const { gain, band } = simultaneousBand({ ...known, ...whole, curves, isRelative: true }).value
  const half = band.u.map((u) => band.critical * u)
  const intervals = [scalar(false), scalar(true)].map(({ estimate, interval }) => [
    estimate,
    interval.low,
    interval.high,
  ])
  const [low, high] = [gain.map((value, at) => value - half[at]), gain.map((value, at) => value + half[at])]
  return { intervals, gain: [...gain], low: [...low], high: [...high] }
}

const ms = []
let result = null
for (let round = -WARM_UP; round < ROUNDS; round += 1) {
  const before = process.cpuUsage()
  result = core()
  const { user, system } = process.cpuUsage(before)
  if (round >= 0) ms.push((user + system) / 1000)
}
process.stdout.write(JSON.stringify({ ms, result }))
