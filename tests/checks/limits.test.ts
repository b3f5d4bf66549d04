/** Each check at its limit and one step beyond, on the demo's valid comparison with one thing changed. */
import { describe, expect, test } from 'vitest'
import type { Comparison, Conditions, Run, Setup } from '../../packages/sdk/src/contract/index.ts'
import { protocolOf } from '../../packages/sdk/src/engine/assess-comparison.ts'
import { evidenceOf } from '../../packages/sdk/src/engine/evidence/evidence.ts'
import { readSession } from '../../packages/sdk/src/engine/inputs/session.ts'
import { findingOf } from '../../packages/sdk/src/engine/protocol/check.ts'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'

const valid = demoComparison('air-filter', 1)
const { rows } = protocolOf(valid.protocol)

/** The status a check gives to a comparison. */
function statusOf(check: string, comparison: Comparison): string {
  const row = rows.find((each) => each.check.name === check)
  if (row === undefined) throw new Error(`no check ${check}`)
  return findingOf(row, evidenceOf(readSession(comparison))).status
}

type Change = (run: Run) => Run

const onEvery = (change: Change): Comparison => ({ ...valid, runs: valid.runs.map(change) })
const onModified = (change: Change): Comparison => onEvery((run) => (run.side === 'modified' ? change(run) : run))
const setup =
  (members: Partial<Setup>): Change =>
  (run) => ({ ...run, setup: { ...run.setup, ...members } })
const conditions =
  (members: Partial<Conditions>): Change =>
  (run) => ({
    ...run,
    conditions: { ...run.conditions, ...members },
  })

const pressure = (kPa: number): Change => setup({ tyrePressure: { value: kPa, unit: 'kPa', state: 'set-cold' } })
const sides = (baseline: Change, modified: Change): Comparison =>
  onEvery((run) => (run.side === 'modified' ? modified(run) : baseline(run)))
const celsius = (value: number) => ({ value, unit: 'degC' as const })
const without = (name: keyof Setup): Comparison => ({
  ...onEvery((run) => {
    const { [name]: _, ...rest } = run.setup ?? {}
    return { ...run, setup: rest }
  }),
  mountings: (valid.mountings ?? []).map((mounting) => {
    const { [name]: _, ...rest } = mounting.setup ?? {}
    return { ...mounting, setup: rest }
  }),
})

describe('the valid comparison of the demo', () => {
  test.each(rows.map(({ check, rule }) => [check.name, rule.severity] as const))('%s (%s) is not breached', (name) => {
    expect(statusOf(name, valid)).not.toBe('breached')
  })
})

describe('limits', () => {
  test.each([
    [250, 257, 'met'],
    [250, 257.1, 'marginal'],
    [250, 270, 'marginal'],
    [250, 270.1, 'breached'],
  ])('tyre-pressure-matched: %d against %d kPa is %s', (baseline, modified, status) => {
    expect(statusOf('tyre-pressure-matched', sides(pressure(baseline), pressure(modified)))).toBe(status)
  })

  test('common practice, no source: 276 kPa on both sides is met, 138 against 276 is breached', () => {
    expect(statusOf('tyre-pressure-matched', onEvery(pressure(276)))).toBe('met')
    expect(statusOf('tyre-pressure-matched', sides(pressure(138), pressure(276)))).toBe('breached')
  })

  test.each([
    [70, 'met'],
    [69.9, 'breached'],
  ])('warmed-up: coolant at %d °C is %s', (degC, status) => {
    const warm = conditions({ coolantTemperature: celsius(degC), oilTemperature: celsius(90) })
    expect(statusOf('warmed-up', onEvery(warm))).toBe(status)
  })

  test.each([
    [80, 90, 'marginal'],
    [80, 90.1, 'breached'],
    [80, 80, 'met'],
  ])('engine-temperature-matched: %d against %d °C is %s', (baseline, modified, status) => {
    const coolant = (degC: number) => conditions({ coolantTemperature: celsius(degC) })
    expect(statusOf('engine-temperature-matched', sides(coolant(baseline), coolant(modified)))).toBe(status)
  })

  test.each([
    [5, 'met'],
    [5.1, 'marginal'],
    [10, 'marginal'],
    [10.1, 'breached'],
  ])('intake-air-matched: %d K more over the cell on one side is %s', (excess, status) => {
    const air = (over: number) =>
      conditions({
        cellAirTemperature: celsius(20),
        intakeAirTemperature: { value: 20 + over, unit: 'degC', place: 'outside-machine' },
      })
    expect(statusOf('intake-air-matched', sides(air(0), air(excess)))).toBe(status)
  })

  test.each([
    [3, 'met'],
    [2, 'marginal'],
    [1, 'breached'],
  ])('runs-enough: %d runs on a side is %s', (count, status) => {
    const kept = valid.runs.filter((run) => run.side === 'modified' && run.purpose === 'measured').slice(0, count)
    const runs = valid.runs.filter((run) => run.side === 'baseline' || kept.includes(run))
    expect(statusOf('runs-enough', { ...valid, runs })).toBe(status)
  })

  test('air-credible: humidity of 0.55 % is breached, pressure reduced to sea level at 500 m is breached', () => {
    expect(statusOf('air-credible', onEvery(conditions({ relativeHumidity: { value: 0.55, unit: '%' } })))).toBe(
      'breached',
    )
    const high = { ...valid, facility: { id: 'f', ...valid.facility, altitude: { value: 500, unit: 'm' as const } } }
    const runs = valid.runs.map(conditions({ stationPressure: { value: 1013.25, unit: 'hPa' } }))
    expect(statusOf('air-credible', { ...high, runs })).toBe('breached')
  })
})

describe('one thing that differs', () => {
  test.each([
    ['gear-matched', setup({ gear: 3 })],
    ['fuel-matched', setup({ fuel: { name: 'another fuel' } })],
    ['cooling-matched', setup({ fan: 'another fan' })],
    ['rider-matched', setup({ ballast: { value: 20, unit: 'kg' } })],
    ['mode-matched', setup({ mode: 'another mode' })],
    ['undeclared-differences', setup({ tune: 'another tune' })],
  ] as const)('%s is breached', (check, change) => {
    expect(statusOf(check, onModified(change))).not.toBe('met')
  })

  test('a tune that a declared change accounts for is no undeclared difference', () => {
    const retuned = onModified(setup({ tune: 'another tune' }))
    const changes = [{ what: 'map', role: 'other', accountsFor: ['tune'] } as const]
    expect(statusOf('undeclared-differences', { ...retuned, changes })).toBe('met')
    expect(statusOf('one-change', { ...retuned, changes })).toBe('breached')
  })
})

describe('one thing that was not recorded', () => {
  test.each([
    ['fuel-matched', 'fuel'],
    ['cooling-matched', 'fan'],
    ['rider-matched', 'riderAboard'],
    ['mode-matched', 'mode'],
    ['undeclared-differences', 'tune'],
    ['tyre-pressure-matched', 'tyrePressure'],
    ['tyre-matched', 'driveTyre'],
    ['rollers-matched', 'rollers'],
    ['vehicle-matched', 'vehicle'],
    ['sweep-matched', 'sweep'],
  ] as const)('%s without %s is not-evidenced', (check, member) => {
    expect(statusOf(check, without(member))).toBe('not-evidenced')
  })
})

test('gear-matched without a declared gear: the speed ratio shows one gear, else it is not-evidenced', () => {
  const undeclared = without('gear')
  expect(statusOf('gear-matched', undeclared)).toBe('met')
  const runs = undeclared.runs.map((run) => {
    const { rollerSpeed: _, ...channels } = run.channels ?? {}
    return { ...run, channels }
  })
  expect(statusOf('gear-matched', { ...undeclared, runs })).toBe('not-evidenced')
})

describe('the record of the rig', () => {
  test('all-runs-counted: a missing number is breached, a number used twice is breached', () => {
    const [first, ...rest] = valid.runs
    if (first === undefined) throw new Error('the demo has runs')
    expect(
      statusOf('all-runs-counted', { ...valid, runs: [{ ...first, counter: (first.counter ?? 0) - 5 }, ...rest] }),
    ).toBe('breached')
    expect(statusOf('all-runs-counted', { ...valid, runs: valid.runs.map((run) => ({ ...run, counter: 7 })) })).toBe(
      'breached',
    )
  })
})
