import { clippedRange } from '../../../packages/sdk/src/engine/statistics/detectors/clipped-range.ts'
import { correctionFactors } from '../../../packages/sdk/src/engine/statistics/detectors/correction-factors.ts'
import { countedRuns } from '../../../packages/sdk/src/engine/statistics/detectors/counted-runs.ts'
import { curveSmoothing } from '../../../packages/sdk/src/engine/statistics/detectors/curve-smoothing.ts'
import type { ComparedCurves, Detection } from '../../../packages/sdk/src/engine/statistics/detectors/detection.ts'
import { duplicateRuns } from '../../../packages/sdk/src/engine/statistics/detectors/duplicate-runs.ts'
import {
  leanStarvation,
  powerLossStarvation,
} from '../../../packages/sdk/src/engine/statistics/detectors/fuel-starvation.ts'
import { gearInUse } from '../../../packages/sdk/src/engine/statistics/detectors/gear-in-use.ts'
import { heatSoak } from '../../../packages/sdk/src/engine/statistics/detectors/heat-soak.ts'
import { intakeAir } from '../../../packages/sdk/src/engine/statistics/detectors/intake-air.ts'
import { noiseScale } from '../../../packages/sdk/src/engine/statistics/detectors/noise-scale.ts'
import { outlyingRuns } from '../../../packages/sdk/src/engine/statistics/detectors/outlying-runs.ts'
import { runOrder } from '../../../packages/sdk/src/engine/statistics/detectors/run-order.ts'
import { sessionDrift } from '../../../packages/sdk/src/engine/statistics/detectors/session-drift.ts'
import {
  RATIO_WHERE_SILENT,
  tyreAndStraps,
} from '../../../packages/sdk/src/engine/statistics/detectors/tyre-and-straps.ts'
import { NOTHING_DECLARED } from '../../../packages/sdk/src/engine/statistics/facility-record.ts'
import { onGrid } from '../../../packages/sdk/src/engine/statistics/grid.ts'
import { recordOf, type VectorRecord } from './record.ts'
import { prepared, type VectorRun } from './runs.ts'
import { vapourFormFactor } from './vapour-form.ts'

/** A run with the channels of kind `detect`; an absent channel is not evidenced. */
interface ChannelRun extends VectorRun {
  readonly counter?: number | null
  readonly ambient?: { readonly temp_c: number; readonly baro_kpa: number; readonly rh: number } | null
  readonly intake_c?: number | null
  readonly engine_c?: number | null
  readonly speed_kmh?: number[] | null
  readonly lambda?: number[] | null
}

interface DetectVector {
  readonly runs: ChannelRun[]
  readonly facility: VectorRecord | null
  readonly counter: { readonly first: number; readonly last: number } | null
}

const WATT_PER_HP = 745.7

/** One value per run, or null where one is missing. */
function complete<T>(runs: readonly ChannelRun[], read: (run: ChannelRun) => T | null | undefined): T[] | null {
  const values = runs.flatMap((run) => {
    const value = read(run)
    return value === null || value === undefined ? [] : [value]
  })
  return values.length === runs.length ? values : null
}

/** Kind `detect`: every detector that fires, in the order of the table. */
export function detect({ runs, facility, counter }: DetectVector): unknown {
  const { grid, raw, smooth, sides, mountings, t } = prepared(runs)
  const curves: ComparedCurves = { engineSpeed_rpm: grid.engineSpeed_rpm, raw, smooth, sides, mountings }
  const scale = noiseScale(curves, recordOf(facility) ?? NOTHING_DECLARED)
  const lambda = complete(runs, (run) => run.lambda)?.map((values, i) =>
    onGrid({ engineSpeed_rpm: Float64Array.from(runs[i]?.rpm ?? []), power: Float64Array.from(values) }, grid),
  )
  const gear = speedTraces(runs) === null ? null : gearInUse(speedTraces(runs) ?? [], sides)
  const starts = complete(runs, ({ start_s }) => start_s)
  const seen: readonly (readonly [string, readonly (Detection | null)[]])[] = [
    ['outlier-free', outlyingRuns(curves, scale)],
    ['drift-free', [sessionDrift(curves, t, scale)]],
    ['fuelling', [lambda === undefined ? powerLossStarvation(curves, scale) : leanStarvation(curves, lambda)]],
    ['gear-matched', [gear]],
    [
      'tyre-or-strap',
      [gear === null || gear.isBroken ? null : tyreAndStraps(speedTraces(runs) ?? [], curves, ratioOf(facility))],
    ],
    ['wrong-factor', [wrongFactor(runs)]],
    ['intake-air-matched', [warmIntake(runs)]],
    ['heat-soak', [hotEngine(runs)]],
    ['smoothing', [curveSmoothing(curves)]],
    ['no-duplicate-runs', duplicateRuns(curves, scale)],
    [
      'all-runs-counted',
      [
        counter === null
          ? null
          : countedRuns(
              counter.first,
              counter.last,
              runs.flatMap((run) => run.counter ?? []),
            ),
      ],
    ],
    ['order-coherent', [starts === null ? null : runOrder(starts)]],
    [
      'clipped-range',
      clippedRange(runs.map(({ rpm }) => ({ first_rpm: rpm[0] ?? Number.NaN, last_rpm: rpm.at(-1) ?? Number.NaN }))),
    ],
  ]
  return seen.flatMap(([check, detections]) =>
    detections.flatMap((detection) => {
      if (detection === null || !detection.isBroken) return []
      return [
        { check, runs: detection.runs.map((i) => runs[i]?.id), observed: detection.observed, limit: detection.limit },
      ]
    }),
  )
}

function speedTraces(runs: readonly ChannelRun[]) {
  return complete(runs, ({ rpm, power_hp, speed_kmh }) =>
    speed_kmh === null || speed_kmh === undefined
      ? null
      : {
          engineSpeed_rpm: Float64Array.from(rpm),
          rollerSpeed_m_per_s: Float64Array.from(speed_kmh, (speed) => speed / 3.6),
          power_W: Float64Array.from(power_hp, (power) => power * WATT_PER_HP),
        },
  )
}

function ratioOf(facility: VectorRecord | null) {
  const read = (name: string, silent: number) => (typeof facility?.[name] === 'number' ? facility[name] : silent)
  return {
    interceptMountSd: read('ratio_intercept_mount_sd', RATIO_WHERE_SILENT.interceptMountSd),
    interceptRunSd: read('ratio_intercept_run_sd', RATIO_WHERE_SILENT.interceptRunSd),
    slopeMountSd: read('slip_slope_mount_sd', RATIO_WHERE_SILENT.slopeMountSd),
    slopeRunSd: read('slip_slope_run_sd', RATIO_WHERE_SILENT.slopeRunSd),
    dof: read('ratio_dof', RATIO_WHERE_SILENT.dof),
  }
}

function wrongFactor(runs: readonly ChannelRun[]): Detection | null {
  const declared = complete(runs, ({ cf }) => cf)
  const recomputed = complete(
    runs,
    ({ ambient }) => ambient && vapourFormFactor(ambient.temp_c, ambient.baro_kpa, ambient.rh),
  )
  return declared === null || recomputed === null ? null : correctionFactors(declared, recomputed)
}

function warmIntake(runs: readonly ChannelRun[]): Detection | null {
  const excess = complete(runs, ({ ambient, intake_c }) =>
    ambient === null || ambient === undefined || intake_c === null || intake_c === undefined
      ? null
      : intake_c - ambient.temp_c,
  )
  return excess === null
    ? null
    : intakeAir(
        excess,
        runs.map(({ side }) => side),
      )
}

function hotEngine(runs: readonly ChannelRun[]): Detection | null {
  const temperature = complete(runs, ({ engine_c }) => engine_c)
  return temperature === null
    ? null
    : heatSoak(
        temperature,
        runs.map(({ side }) => side),
        false,
      )
}
