import { describe, expect, test } from 'vitest'
import {
  expectedNumber,
  expectPublished,
  expectPublishedExactly,
  expectWithin,
  frozen,
  printed,
  printedWithin,
  published,
  publishedAll,
  titleOf,
} from '../support/published.ts'
import { publishedTable } from '../support/published-table.ts'

describe('the comparison with a published value', () => {
  test('a printed value is met at its last digit and missed just beyond', () => {
    expectWithin(2.5, 2, printed(0.5))
    expect(() => expectWithin(2.500001, 2, printed(0.5))).toThrow()
    expect(() => expectWithin(1.499999, 2, printed(0.5))).toThrow()
  })

  test('a stated relative distance is met at its limit and missed just beyond', () => {
    expectWithin(202, 200, printedWithin(0.01, 'another formula'))
    expect(() => expectWithin(202.001, 200, printedWithin(0.01, 'another formula'))).toThrow()
  })

  test('a frozen value is missed by two parts in a million million', () => {
    expectWithin(1 + 5e-13, 1, frozen)
    expect(() => expectWithin(1 + 2e-12, 1, frozen)).toThrow()
  })

  test('NaN never agrees with anything', () => {
    expect(() => expectWithin(Number.NaN, 2, printed(10))).toThrow()
    expect(() => expectWithin(2, Number.NaN, printed(10))).toThrow()
  })

  test('a wrong number, a wrong text and a missing member are all refused', () => {
    expect(() => expectPublished('atm-ref-unity-si', 1.1)).toThrow('off by')
    expect(() => expectPublishedExactly('atm-eu-Trange', '283 K < T < 318 K')).toThrow()
    expect(() => expectPublishedExactly('atm-eu-Trange', undefined, 'nothing')).toThrow('expects nothing')
    expect(() => expectedNumber(published('atm-eu-Trange'))).toThrow('expects no number')
  })

  test('a name that no file holds is refused', () => {
    expect(() => published('no-such-check')).toThrow('no published check')
    expect(() => publishedAll('no-such-')).toThrow('no published check')
  })

  test('a value whose tolerance is in words needs one of its own', () => {
    expect(() => expectPublished('unit-5', 100_000)).toThrow('in words')
  })

  test('a title repeats source and status', () => {
    expect(titleOf(published('unit-12'))).toBe('unit-12: kgf -> N [FOUND: SP 811]')
  })
})

describe('the table at the end of a run', () => {
  const table = publishedTable([
    { id: 'a', family: 'first', status: 'FOUND' },
    { id: 'b', family: 'first', status: 'COMPUTED' },
    { id: 'c', family: 'crypto-second', status: 'FOUND' },
    { id: 'd', family: 'first', status: 'MEMORY' },
  ])

  test('counts found, computed and memory per family', () => {
    expect(table).toMatch(/first +1 +1 +1 +3\n/)
    expect(table).toMatch(/crypto-second +1 +0 +0 +1\n/)
  })

  test('counts what lies outside cryptography apart', () => {
    expect(table).toMatch(/outside cryptography +1 +1 +1 +3\n/)
    expect(table).toMatch(/ all +2 +1 +1 +4\n/)
  })

  test('says what a computed value is worth', () => {
    expect(table).toContain('a computed value tests the code, not the formula')
  })
})
