/** Runs whose figures cannot be read. */
import { describe, expect, test } from 'vitest'
import { changed, smallComparison } from './comparison-fixture.ts'
import { expectProblem, problems } from './refusals.ts'

describe('channels that cannot be read', () => {
  const at = '/runs/0/channels/wheelPower'

  test.each([
    ['NaN', Number.NaN, 'ERR_CHANNEL_NOT_FINITE'],
    ['an infinity', Number.POSITIVE_INFINITY, 'ERR_CHANNEL_NOT_FINITE'],
    ['a negative zero', -0, 'ERR_CHANNEL_NEGATIVE_ZERO'],
    ['2^53', 2 ** 53, 'ERR_CHANNEL_TOO_LARGE'],
    ['text', '40', 'ERR_WRONG_TYPE'],
    ['null', null, 'ERR_WRONG_TYPE'],
    ['"NaN"', 'NaN', 'ERR_WRONG_TYPE'],
  ])('%s among the values: the sample is named', (_, sample, code) => {
    expectProblem(changed(`${at}/values/2`, sample), `${at}/values/2`, code)
  })

  test.each([
    ['no base64', 'AAA', 'ERR_CHANNEL_BASE64'],
    ['bytes that are no whole float64', 'AAAA', 'ERR_CHANNEL_LENGTH'],
    ['NaN in base64', 'AAAAAAAA+H8=', 'ERR_CHANNEL_NOT_FINITE'],
    ['a negative zero in base64', 'AAAAAAAAAIA=', 'ERR_CHANNEL_NEGATIVE_ZERO'],
  ])('%s', (_, base64, code) => {
    expectProblem(changed(at, { unit: 'kW', base64 }), `${at}/base64`, code)
  })

  test('both forms, neither form, no values', () => {
    expectProblem(changed(at, { unit: 'kW' }), at, 'ERR_CHANNEL_FORM', '`values`', '`base64`')
    const both = { unit: 'kW', values: [1, 2, 3, 4], base64: 'AAAAAAAAAAA=' }
    expectProblem(changed(at, both), at, 'ERR_CHANNEL_FORM', 'keep one')
    expectProblem(changed(at, { unit: 'kW', values: [] }), `${at}/values`, 'ERR_TOO_FEW', 'leave the channel out')
    expectProblem(changed(at, { unit: 'kW', base64: '' }), `${at}/base64`, 'ERR_TOO_FEW', 'leave the channel out')
  })

  test('200,000 samples are read and 200,001 are not', () => {
    const rising = (samples: number) => Array.from({ length: samples }, (_, index) => index + 1)
    const channels = (samples: number) => ({ engineSpeed: { values: rising(samples), unit: 'rpm' } })
    expect(problems(changed('/runs/0/channels', channels(200_000)))).toEqual([])
    const speed = '/runs/0/channels/engineSpeed/values'
    expectProblem(changed('/runs/0/channels', channels(200_001)), speed, 'ERR_TOO_MANY', '200001', '200000')
  })

  test('channels of different lengths: each with its number of values', () => {
    const draft = changed(`${at}/values`, [20, 30, 40])
    expectProblem(draft, '/runs/0/channels', 'ERR_CHANNELS_UNEQUAL', 'engineSpeed 4', 'wheelPower 3', 'torque 4')
  })

  test('no engine speed, and no roller speed over time', () => {
    const draft = smallComparison()
    delete draft.runs[0].channels.engineSpeed
    expectProblem(draft, '/runs/0/channels', 'ERR_NO_SPEED', 'engineSpeed')
    draft.runs[0].channels.rollerSpeed = { values: [1, 2, 3, 4], unit: 'm/s' }
    expectProblem(draft, '/runs/0/channels', 'ERR_NO_SPEED', 'time')
  })

  test.each([
    ['falls', [6000, 5000, 4000]],
    ['stands still', [5000, 5000, 5000]],
    ['falls and comes back to where it began', [6000, 5000, 6000]],
    ['is one sample', [5000]],
  ])('an engine speed that %s is not a sweep', (_, values) => {
    const draft = smallComparison()
    draft.runs[1].channels = { engineSpeed: { values, unit: 'rpm' } }
    expectProblem(draft, '/runs/1/channels/engineSpeed', 'ERR_NOT_A_SWEEP', String(values[0]), 'aborted')
  })

  test('an engine speed that rises by one step above its start is a sweep, dips and all', () => {
    const draft = smallComparison()
    draft.runs[1].channels = { engineSpeed: { values: [5000, 4000, 5001, 3000], unit: 'rpm' } }
    expect(problems(draft)).toEqual([])
  })

  test('a measured run with neither channels nor a reported figure', () => {
    const draft = smallComparison()
    delete draft.runs[1].channels
    expectProblem(draft, '/runs/1', 'ERR_NO_FIGURES', 'channels', 'reported', 'aborted')
    draft.runs[1].reported = { at: { value: 8000, unit: 'rpm' } }
    expectProblem(draft, '/runs/1', 'ERR_NO_FIGURES', 'peakPower')
  })
})
