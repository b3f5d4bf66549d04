/** What is told of a recording beside its curve. */
import { expect, test } from 'vitest'
import { columnsOf, type Recording, traceWith } from './recordings.ts'

const pull: Recording = { rate_Hz: 50, start_m_per_s: 15, rise_m_per_s2: 5, sweep: 400, coast: 200, constant_N: 80 }

function traced(recording: Recording) {
  const { time, rollerSpeed, engineSpeed } = columnsOf(recording)
  return traceWith({
    time: { unit: 's', values: time },
    engineSpeed: { unit: 'rpm', values: engineSpeed },
    rollerSpeed: { unit: 'm/s', values: rollerSpeed },
  })
}

test('a roller speed that is written 5 samples late lags by a tenth of a second', () => {
  expect(traced(pull).rollerLag_s).toBeCloseTo(0, 9)
  expect(traced({ ...pull, lag: 5 }).rollerLag_s).toBeCloseTo(0.1, 9)
})

test('a recording that ends with the sweep does not tell a lag', () => {
  expect(traced({ ...pull, coast: 0 }).rollerLag_s).toBeNull()
})

test('columns hold the sweep alone, by rising engine speed', () => {
  const { columns, section } = traced(pull)
  expect(section).toMatchObject({ recorded: 600, after: 200 })
  expect(columns.engineSpeed_rpm).toHaveLength(400)
  expect([...columns.engineSpeed_rpm]).toEqual([...columns.engineSpeed_rpm].toSorted((a, b) => a - b))
})
