/** Where the sweep lies in a recording. */
import { expect, test } from 'vitest'
import { sweepSection } from '../../../packages/sdk/src/engine/inputs/sweep-section.ts'

const rising = (from: number, to: number, count: number) =>
  Array.from({ length: count }, (_, k) => from + ((to - from) * k) / (count - 1))
const section = (speeds: readonly number[], times: readonly number[] | null = null) =>
  sweepSection(Float64Array.from(speeds), times === null ? null : Float64Array.from(times))

test('roll-on before the last minimum and the fall after the first maximum are cut', () => {
  const read = section([...rising(4000, 3000, 11), ...rising(3050, 10_000, 140), ...rising(9900, 8000, 20)])
  expect(read).toMatchObject({ recorded: 171, before: 10, after: 20, spikes: 0 })
  expect([...read.samples]).toEqual(Array.from({ length: 141 }, (_, k) => 10 + k))
  expect(read.end).toBe(151)
})

test('a spike is taken out before, so that it is not the highest engine speed', () => {
  const speeds = rising(3000, 10_000, 141)
  speeds[40] = 14_000
  const read = section(speeds)
  expect(read).toMatchObject({ spikes: 1, before: 0, after: 0 })
  expect([...read.samples]).not.toContain(40)
  expect(read.samples).toHaveLength(140)
})

test('a coarse recording has no spikes for being coarse', () => {
  expect(section(rising(3000, 10_000, 8))).toMatchObject({ spikes: 0 })
})

test('times that do not rise are counted', () => {
  const times = rising(0, 7, 8)
  times[3] = times[2] ?? 0
  expect(section(rising(3000, 4000, 8), times).repeatedTimes).toBe(1)
})

test('an empty recording has no sweep', () => {
  expect(section([]).samples).toHaveLength(0)
})
