// The core of the method by the engine, timed as numpy/core.py times its own: sweeps, grid and smoothing, the scalar interval
// absolute and relative, the simultaneous band. Prints the session, the figures and CPU milliseconds, one per round, as JSON.
import { scalarInterval, simultaneousBand } from '@fairpull/sdk/engine'
import { simulateSession } from '@fairpull/sdk/testing'

const statistics = (name) =>
  import(new URL(`../engine/statistics/${name}.js`, import.meta.resolve('@fairpull/sdk/engine')))
const { sweepCurve } = await statistics('sweep-curve')
const { bandMean, gridKernel, gridOf, onGrid, rangeOf, smoothedOnGrid } = await statistics('grid')

const ROUNDS = Number(process.argv[2])
const [FROM_RPM, TO_RPM] = [5000, 9000]

const { comparison } = simulateSession({
  seed: 1,
  design: 'ABAB',
  runsPerBlock: 3,
  gain: { shape: 'uniform', percent: 4 },
  sampling: { by: 'speed', step_rpm: 4 },
  claims: [],
})
const runs = comparison.runs.filter(({ channels }) => channels !== undefined)
const session = {
  runs: runs.map(({ channels }) => ({ speed: channels.engineSpeed.values, power: channels.wheelPower.values })),
  side: runs.map(({ side }) => (side === 'baseline' ? 0 : 1)),
  mounting: runs.map(({ mounting }) => mounting),
  t: runs.map((_, at) => at),
  factors: runs.map(() => 1),
  from_rpm: FROM_RPM,
  to_rpm: TO_RPM,
}
const record = {
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
  const range = rangeOf(grid, FROM_RPM, TO_RPM)
  const values = Float64Array.from(curves, (curve) => bandMean(curve, range))
  const scalar = (isRelative) => scalarInterval({ ...known, values, width_rpm: TO_RPM - FROM_RPM, isRelative }).fit
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
for (let round = -5; round < ROUNDS; round += 1) {
  const before = process.cpuUsage()
  result = core()
  const { user, system } = process.cpuUsage(before)
  if (round >= 0) ms.push((user + system) / 1000)
}
process.stdout.write(JSON.stringify({ session, record, ms, result }))
