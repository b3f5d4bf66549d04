/** Documents of right shape that make no sense: identities, claims, conditions and records that cannot be. */
import { describe, expect, test } from 'vitest'
import { absoluteZero, lowestStationPressure } from '../../packages/sdk/src/contract/condition-limits.ts'
import { units } from '../../packages/sdk/src/contract/units.ts'
import { convert } from '../../packages/sdk/src/engine/physics/units.ts'
import { changed, claiming, type Draft, fullComparison, smallComparison } from './comparison-fixture.ts'
import { expectProblem, problems } from './refusals.ts'

describe('identities and references', () => {
  test.each([
    ['/runs/1/id', 'b1', 'ERR_DUPLICATE_ID', '/runs/0'],
    ['/claims/1/id', 'c1', 'ERR_DUPLICATE_ID', '/claims/0'],
  ])('%s twice', (at, id, code, earlier) => {
    expectProblem(changed(at, id), at, code, `"${id}"`, earlier)
  })

  test.each(['mountings', 'vehicles', 'driveTyres', 'facility/rollers'])('an id twice among %s', (place) => {
    const draft = fullComparison()
    const list = place.split('/').reduce<Draft>((here, step) => here[step], draft)
    list.push(structuredClone(list[0]))
    expectProblem(draft, `/${place}/1/id`, 'ERR_DUPLICATE_ID', `/${place}/0`)
  })

  test.each([
    ['/runs/0/mounting', 'mounting'],
    ['/runs/0/setup/vehicle', 'vehicle'],
    ['/runs/0/setup/rollers', 'roller set'],
    ['/mountings/0/setup/driveTyre', 'drive tyre'],
  ])('%s of nothing', (at, what) => {
    expectProblem(changed(at, 'nobody'), at, 'ERR_UNKNOWN_REFERENCE', `No ${what} has the id "nobody"`, 'lists')
  })

  test('a reference that is misspelt: the id that may be meant', () => {
    expectProblem(changed('/runs/0/mounting', 'S1 '), '/runs/0/mounting', 'ERR_UNKNOWN_REFERENCE', 'Did you mean "s1"?')
  })

  test('a reference into a list that is not there', () => {
    const draft = smallComparison()
    draft.runs[0].mounting = 's1'
    expectProblem(draft, '/runs/0/mounting', 'ERR_UNKNOWN_REFERENCE', '/mountings lists none')
  })

  test('an exclusion of a run that is not there, was not measured, or is excluded already', () => {
    const at = '/excluded/0/run'
    expectProblem(changed(at, 'b9'), at, 'ERR_UNKNOWN_REFERENCE', '"b9"')
    expectProblem(changed(at, 'w1'), at, 'ERR_EXCLUDED_NOT_MEASURED', 'conditioning', 'Take it off')
    const draft = fullComparison()
    draft.excluded.push({ run: 'b1', rule: 'operator', reason: 'again' })
    expectProblem(draft, '/excluded/1/run', 'ERR_DUPLICATE_ID', 'twice')
  })
})

describe('claims that say nothing', () => {
  const over = (kind: string, from: number, to: number, unit = 'rpm') => ({
    kind,
    from: { value: from, unit },
    to: { value: to, unit: 'rpm' },
  })

  test('a band that does not rise', () => {
    const detail = ['from 6000 rpm to 4000 rpm']
    expectProblem(claiming({ over: over('band-mean', 6000, 4000) }), '/claims/0/over/to', 'ERR_CLAIM_BAND', ...detail)
    expectProblem(claiming({ over: over('band-mean', 6000, 6000) }), '/claims/0/over/to', 'ERR_CLAIM_BAND')
    expect(problems(claiming({ over: over('band-mean', 5999, 6000) }))).toEqual([])
  })

  test('a band in two units: 600 rad/s are 5,730 rpm (30/π)', () => {
    expect(problems(claiming({ over: over('band-mean', 600, 5730, 'rad/s') }))).toEqual([])
    expectProblem(claiming({ over: over('band-mean', 600, 5729, 'rad/s') }), '/claims/0/over/to', 'ERR_CLAIM_BAND')
  })

  test('a gain in a unit of another quantity', () => {
    const gain = { value: 2, unit: 'N m' }
    expectProblem(claiming({ gain }), '/claims/0/gain/unit', 'ERR_CLAIM_UNIT', 'wheel-power', '%, W, kW, hp, PS')
    expect(problems(claiming({ gain, quantity: 'wheel-torque' }))).toEqual([])
    const power = { gain: { value: 2, unit: 'kW' }, quantity: 'wheel-torque' }
    expectProblem(claiming(power), '/claims/0/gain/unit', 'ERR_CLAIM_UNIT', '%, N m, lbf ft, kgf m')
  })

  test('a tolerance that is missing, out of place, in another unit, or nothing', () => {
    const within = { relation: 'equals-within' }
    const tolerance = { value: 1, unit: '%' }
    expectProblem(claiming(within), '/claims/0/tolerance', 'ERR_CLAIM_TOLERANCE', '"equals-within" needs a tolerance')
    expectProblem(claiming({ tolerance }), '/claims/0/tolerance', 'ERR_CLAIM_TOLERANCE', 'Leave it out')
    const other = { ...within, tolerance: { value: 1, unit: 'kW' } }
    expectProblem(claiming(other), '/claims/0/tolerance/unit', 'ERR_CLAIM_TOLERANCE', '"kW"', '"%"')
    const none = { ...within, tolerance: { value: 0, unit: '%' } }
    expectProblem(claiming(none), '/claims/0/tolerance/value', 'ERR_CLAIM_TOLERANCE', 'above 0')
    expect(problems(claiming({ ...within, tolerance }))).toEqual([])
  })

  test('no loss without a margin', () => {
    const claim = (value: number) => claiming({ over: over('no-loss', 4000, 6000), gain: { value, unit: '%' } })
    expectProblem(claim(0), '/claims/0/gain/value', 'ERR_CLAIM_MARGIN', 'margin', 'below 0', '-0.5')
    expectProblem(claim(2), '/claims/0/gain/value', 'ERR_CLAIM_MARGIN', 'found 2 %')
    expect(problems(claim(-0.001))).toEqual([])
  })

  test.each(['everywhere', 'anywhere', 'no-loss'])('%s with another relation than at-least', (kind) => {
    const claim = { over: over(kind, 4000, 6000), gain: { value: -1, unit: '%' }, relation: 'at-most' }
    expectProblem(claiming(claim), '/claims/0/relation', 'ERR_CLAIM_RELATION', 'at-least')
  })
})

describe('conditions that cannot be', () => {
  const at = '/mountings/0/conditions'

  test('humidity 55 as a fraction: how 55 % is written', () => {
    const draft = changed(`${at}/relativeHumidity`, { value: 55, unit: '1' })
    const remedy = 'write 55 % as { "value": 55, "unit": "%" }'
    expectProblem(draft, `${at}/relativeHumidity/value`, 'ERR_HUMIDITY', '55', remedy)
  })

  test.each([
    [1.001, '1'],
    [-0.01, '1'],
    [100.1, '%'],
    [-1, '%'],
  ])('humidity %s in unit %s', (value, unit) => {
    expectProblem(changed(`${at}/relativeHumidity`, { value, unit }), `${at}/relativeHumidity/value`, 'ERR_HUMIDITY')
  })

  test.each([
    [0, '1'],
    [1, '1'],
    [100, '%'],
  ])('humidity %s in unit %s is read', (value, unit) => {
    expect(problems(changed(`${at}/relativeHumidity`, { value, unit }))).toEqual([])
  })

  test.each(['cellAirTemperature', 'intakeAirTemperature', 'coolantTemperature', 'oilTemperature'])(
    '%s below absolute zero',
    (name) => {
      const draft = changed(`${at}/${name}/value`, -273.16)
      expectProblem(draft, `${at}/${name}/value`, 'ERR_BELOW_ABSOLUTE_ZERO', '-273.16 degC', 'Check the unit')
      expect(problems(changed(`${at}/${name}/value`, -273.15))).toEqual([])
    },
  )

  test('a gauge pressure in place of the station pressure: that it must be absolute', () => {
    const gauge = (value: number, unit: string) => changed(`${at}/stationPressure`, { value, unit })
    const pointer = `${at}/stationPressure/value`
    expectProblem(gauge(0.2, 'kPa'), pointer, 'ERR_GAUGE_PRESSURE', '0.2 kPa', 'absolute', '101 kPa')
    expectProblem(gauge(29.99, 'kPa'), pointer, 'ERR_GAUGE_PRESSURE', 'not gauge')
    expect(problems(gauge(30, 'kPa'))).toEqual([])
    expectProblem(gauge(-1, 'kPa'), pointer, 'ERR_NEGATIVE_PRESSURE', 'absolute')
  })

  test('hectopascal written as kilopascal is read; one step the other way cannot be', () => {
    expect(problems(changed(`${at}/stationPressure`, { value: 1013, unit: 'kPa' }))).toEqual([])
    const draft = changed(`${at}/stationPressure`, { value: 101.3, unit: 'hPa' })
    expectProblem(draft, `${at}/stationPressure/value`, 'ERR_GAUGE_PRESSURE', '300 hPa', 'check the unit')
  })

  test('a tyre pressure below 0', () => {
    const pointer = '/mountings/0/setup/tyrePressure/value'
    expectProblem(changed(pointer, -1), pointer, 'ERR_NEGATIVE_PRESSURE', '-1 kPa')
    expect(problems(changed(pointer, 0))).toEqual([])
  })

  test('a run of its own conditions is looked at as its mounting is', () => {
    const draft = changed('/runs/0/conditions/relativeHumidity', { value: 55, unit: '1' })
    expectProblem(draft, '/runs/0/conditions/relativeHumidity/value', 'ERR_HUMIDITY')
  })

  test.each(Object.entries(absoluteZero))('absolute zero in %s is that of the unit table', (unit, value) => {
    expect(value).toBeCloseTo(convert(0, 'K', unit as keyof typeof absoluteZero), 10)
  })

  // Printed to four digits, so the limits agree within half a unit of the fourth.
  test.each(units.pressure)('30 kPa in %s is that of the unit table', (unit) => {
    const exact = convert(30, 'kPa', unit)
    expect(Math.abs(lowestStationPressure[unit] - exact)).toBeLessThanOrEqual(exact * 2e-4)
  })
})

describe('a facility record that cannot be', () => {
  test('a standard deviation without its degrees of freedom, and the other way round', () => {
    const at = '/facility/record/repeatability'
    const sd = changed(at, { relativeSd: 0.004, status: 'measured' })
    expectProblem(sd, `${at}/degreesOfFreedom`, 'ERR_MISSING_MEMBER')
    const dof = changed(at, { degreesOfFreedom: 8, status: 'measured' })
    expectProblem(dof, `${at}/relativeSd`, 'ERR_MISSING_MEMBER')
  })

  test('a repeatability of exactly nothing; a drift of nothing is read', () => {
    const at = '/facility/record/repeatability/relativeSd'
    expectProblem(changed(at, 0), at, 'ERR_OUT_OF_RANGE', 'above 0')
    expect(problems(changed('/facility/record/drift/relativeSd', 0))).toEqual([])
  })

  test('no degrees of freedom', () => {
    const at = '/facility/record/day/degreesOfFreedom'
    expectProblem(changed(at, 0), at, 'ERR_OUT_OF_RANGE', 'above 0')
  })
})
