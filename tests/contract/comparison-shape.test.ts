/** Documents whose shape cannot be read: units, types, members, words, numbers, texts, times. */
import { describe, expect, test } from 'vitest'
import { changed, fullComparison } from './comparison-fixture.ts'
import { expectProblem, problems } from './refusals.ts'

describe('a shape that cannot be read', () => {
  test.each([
    ['null', null],
    ['text', 'runs'],
    ['a list', []],
  ])('%s in place of a document', (_, value) => {
    expectProblem(value, '', 'ERR_WRONG_TYPE', 'an object is needed')
  })

  test('an unknown unit: the units of the kind, and the one that may be meant', () => {
    const at = '/mountings/0/setup/tyrePressure/unit'
    expectProblem(
      changed(at, 'psig'),
      at,
      'ERR_UNKNOWN_UNIT',
      '"psig"',
      'pressure',
      'Did you mean "psi"',
      'kPa',
      'mmHg',
    )
  })

  test.each([
    ['Nm', 'torque', 'N m'],
    ['NM', 'torque', 'N m'],
    ['lb-ft', 'torque', 'lbf ft'],
  ])('the unit %s of %s is offered as %s', (unit, channel, meant) => {
    const at = `/runs/0/channels/${channel}/unit`
    expectProblem(changed(at, unit), at, 'ERR_UNKNOWN_UNIT', `Did you mean "${meant}"?`)
  })

  test('°C is offered as degC', () => {
    const at = '/mountings/0/conditions/oilTemperature/unit'
    expectProblem(changed(at, '°C'), at, 'ERR_UNKNOWN_UNIT', 'Did you mean "degC"?')
  })

  test('power in torque units: the unit is named as one of torque, with the units of power', () => {
    const at = '/runs/0/channels/wheelPower/unit'
    expectProblem(changed(at, 'N m'), at, 'ERR_UNKNOWN_UNIT', 'a unit of torque, not of power', 'W, kW, hp, PS')
  })

  test('reported peak power in torque units', () => {
    const at = '/runs/1/reported/peakPower/unit'
    expectProblem(changed(at, 'lbf ft'), at, 'ERR_UNKNOWN_UNIT', 'a unit of torque, not of power', 'W, kW, hp, PS')
  })

  test('a missing unit has no default', () => {
    const at = '/mountings/0/conditions/stationPressure'
    expectProblem(changed(at, { value: 1001 }), `${at}/unit`, 'ERR_MISSING_MEMBER', 'no default unit', 'hPa')
  })

  test('a bare number in place of a quantity: how it is written', () => {
    const at = '/mountings/0/conditions/stationPressure'
    expectProblem(changed(at, 1001), at, 'ERR_WRONG_TYPE', '1001 has no unit', '"value"', 'hPa')
  })

  test('a bare number in place of a channel: how it is written', () => {
    const at = '/runs/0/channels/time'
    expectProblem(changed(at, 4), at, 'ERR_WRONG_TYPE', '4 has no unit', '"values"', 'ms')
  })

  test('a number written as text', () => {
    const at = '/mountings/0/setup/gear'
    expectProblem(changed(at, '5'), at, 'ERR_WRONG_TYPE', '"5"', 'a number is needed')
    const pressure = '/mountings/0/conditions/stationPressure/value'
    expectProblem(changed(pressure, '1001'), pressure, 'ERR_WRONG_TYPE', 'Write it without quotation marks')
  })

  test('null where nothing was recorded', () => {
    const at = '/mountings/0/setup/tune'
    expectProblem(changed(at, null), at, 'ERR_WRONG_TYPE', 'Leave the member out')
  })

  test('a member that a program left undefined', () => {
    const draft = fullComparison()
    draft.mountings[0].setup.tune = undefined
    expectProblem(draft, '/mountings/0/setup/tune', 'ERR_WRONG_TYPE', 'leave it out')
  })

  test('a missing member', () => {
    expectProblem(changed('/runs/1/id', undefined), '/runs/1/id', 'ERR_MISSING_MEMBER', 'text')
    expectProblem(
      changed('/runs/1/purpose', undefined),
      '/runs/1/purpose',
      'ERR_MISSING_MEMBER',
      'measured, conditioning',
    )
  })

  test('an unknown member: the nearest one that is known', () => {
    const at = '/mountings/0/setup/tirePressure'
    expectProblem(changed(at, 250), at, 'ERR_UNKNOWN_MEMBER', 'Did you mean "tyrePressure"?', 'riderAboard')
  })

  test('a known member in the wrong place: where it belongs', () => {
    expectProblem(changed('/runs/0/gear', 5), '/runs/0/gear', 'ERR_UNKNOWN_MEMBER', 'belongs under "setup"')
  })

  test('a member of another kind of range', () => {
    const at = '/claims/0/over/speed'
    expectProblem(changed(at, 5000), at, 'ERR_UNKNOWN_MEMBER', 'Known: kind, from, to.')
  })

  test('`__proto__` as a member', () => {
    const draft = JSON.parse('{ "protocol": "p", "runs": [], "__proto__": { "runs": [] } }')
    expectProblem(draft, '/__proto__', 'ERR_UNKNOWN_MEMBER')
  })

  test('a word that is not in the list', () => {
    expectProblem(changed('/runs/1/side', 'after'), '/runs/1/side', 'ERR_NOT_IN_LIST', '"after"', 'baseline, modified')
    expectProblem(
      changed('/claims/0/over/kind', 'band'),
      '/claims/0/over/kind',
      'ERR_NOT_IN_LIST',
      '"band-mean"',
      'no-loss',
    )
  })

  test.each([0, 9, 2.5])('gear %s', (gear) => {
    const code = gear === 2.5 ? 'ERR_NOT_WHOLE' : 'ERR_OUT_OF_RANGE'
    expectProblem(changed('/mountings/0/setup/gear', gear), '/mountings/0/setup/gear', code, String(gear))
  })

  test.each([1, 8])('gear %s is read', (gear) => {
    expect(problems(changed('/mountings/0/setup/gear', gear))).toEqual([])
  })

  test.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])('%s as a value', (value) => {
    const at = '/mountings/0/conditions/stationPressure/value'
    expectProblem(changed(at, value), at, 'ERR_NOT_FINITE', String(value))
  })

  test('a negative zero', () => {
    const at = '/mountings/0/conditions/oilTemperature/value'
    expectProblem(changed(at, -0), at, 'ERR_NEGATIVE_ZERO', 'write 0')
    expectProblem(changed('/runs/0/counter', -0), '/runs/0/counter', 'ERR_NEGATIVE_ZERO', 'write 0')
  })

  test('2^53 as a value, and the number below it', () => {
    const at = '/claims/0/gain/value'
    expectProblem(changed(at, 2 ** 53), at, 'ERR_OUT_OF_RANGE')
    expect(problems(changed(at, 2 ** 53 - 1))).toEqual([])
  })

  test.each([
    '2026-02-29T10:00:00Z',
    '2026-05-02T24:00:00Z',
    '2026-05-02T10:00:00',
    '2026-05-02 10:00:00Z',
    '2026-05-02T10:00Z',
    '02.05.2026',
    '',
  ])('%j is no time with offset', (text) => {
    expectProblem(changed('/runs/0/startedAt', text), '/runs/0/startedAt', 'ERR_BAD_TIME', 'RFC 3339', 'offset')
  })

  test.each(['2024-02-29T23:59:59-12:00', '2000-02-29T00:00:00.123456789+14:00'])('%s is a time', (text) => {
    expect(problems(changed('/runs/0/startedAt', text))).toEqual([])
  })

  test.each(['2025-02-29', '1900-02-29', '2026-04-31', '2026-13-01', '2026-1-1'])('%s is no date', (text) => {
    const at = '/facility/rollers/0/calibratedOn'
    expectProblem(changed(at, text), at, 'ERR_BAD_DATE', text, 'YYYY-MM-DD')
  })

  test('text that is empty, too long, or holds a control character', () => {
    const at = '/mountings/0/setup/tune'
    for (const text of ['', 'x'.repeat(201), 'a\u0000b', 'two\nlines', 'half a pair \ud800']) {
      expectProblem(changed(at, text), at, 'ERR_BAD_TEXT', '1 to 200 characters')
    }
    expect(problems(changed(at, '𝄞'.repeat(200)))).toEqual([])
    const reason = '/excluded/0/reason'
    expectProblem(changed(reason, 'x'.repeat(2001)), reason, 'ERR_BAD_TEXT', '2000')
  })

  test('a digest that is none', () => {
    const at = '/runs/0/source/sha256'
    expectProblem(changed(at, 'A'.repeat(64)), at, 'ERR_BAD_DIGEST', 'SHA-256', 'lower-case')
  })
})
