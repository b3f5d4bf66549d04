import { describe, expect, test } from 'vitest'
import { type ColumnMapping, ImportError, type RunPart, readCsv } from '../../packages/sdk/src/import/index.ts'
import { parseRunPart } from '../../packages/sdk/src/import/run-part.ts'

const columns: ColumnMapping = {
  engineSpeed: { header: 'Speed', unit: 'rpm' },
  wheelPower: { header: 'Power', unit: 'kW' },
}

function read(text: string, part?: RunPart, mapping = columns) {
  const options = { name: 'all.csv', columns: mapping, ...(part === undefined ? {} : { part }) }
  const { engineSpeed, wheelPower } = readCsv(new TextEncoder().encode(text), options).channels
  return [engineSpeed?.values, wheelPower?.values]
}

function problemOf(text: string, part?: RunPart, mapping = columns) {
  try {
    read(text, part, mapping)
  } catch (error) {
    if (error instanceof ImportError) return error.problems[0]
    throw error
  }
  throw new TypeError('the file was read')
}

const abreast = 'b1;;b2;\nSpeed;Power;Speed;Power\n3000;20,1;3010;20,3\n3050;20,6;3060;20,9\n3100;21,2;;\n'
const sharedSpeed = 'Speed;Power;Power\n3000;20,1;20,3\n3050;20,6;20,9\n'
const below = 'Run 1\nSpeed,Power\n3000,20.1\n3050,20.6\n\nRun 2\nSpeed,Power\n3010,20.3\n3060,20.9\n3110,21.5\n'
const long = 'Run;Speed;Power\n7;3000;20,1\n7;3050;20,6\n8;3010;20,3\n8;3060;20,9\n'

describe('a file that holds several runs', () => {
  test.each<[string, string, RunPart, readonly (readonly number[])[]]>([
    [
      'side by side, the first',
      abreast,
      { number: 1 },
      [
        [3000, 3050, 3100],
        [20.1, 20.6, 21.2],
      ],
    ],
    [
      'side by side, a shorter second one',
      abreast,
      { number: 2 },
      [
        [3010, 3060],
        [20.3, 20.9],
      ],
    ],
    [
      'side by side over one speed column',
      sharedSpeed,
      { number: 2 },
      [
        [3000, 3050],
        [20.3, 20.9],
      ],
    ],
    [
      'below each other, the first',
      below,
      { number: 1 },
      [
        [3000, 3050],
        [20.1, 20.6],
      ],
    ],
    [
      'below each other, the second',
      below,
      { number: 2 },
      [
        [3010, 3060, 3110],
        [20.3, 20.9, 21.5],
      ],
    ],
    [
      'told apart by a column',
      long,
      { column: 'Run', value: '8' },
      [
        [3010, 3060],
        [20.3, 20.9],
      ],
    ],
  ])('%s', (_, text, part, values) => {
    expect(read(text, part)).toEqual(values)
  })

  test('runs in a grid are counted from left to right and then downwards', () => {
    const grid = `${abreast}\n${abreast.replaceAll('30', '31')}`
    expect(read(grid, { number: 3 })[0]).toEqual([3100, 3150, 3100])
    expect(read(grid, { number: 4 })[0]).toEqual([3110, 3160])
  })

  test('a row of units below each header is read over', () => {
    const withUnits = below.replaceAll('Speed,Power\n', 'Speed,Power\nrpm,kW\n')
    expect(read(withUnits, { number: 2 })[0]).toEqual([3010, 3060, 3110])
  })

  test.each<[string, string, RunPart | undefined, string, number | null, RegExp]>([
    ['side by side and none named', abreast, undefined, 'ERR_COLUMN_DUPLICATE', 2, /"part" 1 to 2/],
    ['below each other and none named', below, undefined, 'ERR_PART', 7, /"part" 1 to 2/],
    ['a part beyond the last', below, { number: 3 }, 'ERR_PART', null, /from 1 to 2/],
    ['a part of a file with one run', 'Speed,Power\n3000,20.1\n', { number: 2 }, 'ERR_PART', null, /from 1 to 1/],
    ['a column that is not there', long, { column: 'Pass', value: '8' }, 'ERR_PART', 1, /as it stands/],
    ['a value that is not there', long, { column: 'Run', value: '9' }, 'ERR_PART', 1, /7, 8/],
  ])('%s is refused with the fix', (_, text, part, code, line, fix) => {
    const problem = problemOf(text, part)
    expect(problem).toMatchObject({ code, line, file: 'all.csv' })
    expect(problem?.fix).toMatch(fix)
  })

  test('a fault in a later run is found on its line', () => {
    expect(problemOf(below.replace('3060,20.9', '3060,x'), { number: 2 })).toMatchObject({ line: 9, column: 'Power' })
    expect(problemOf(long.replace('3060;20,9', '3060;'), { column: 'Run', value: '8' })).toMatchObject({ line: 5 })
  })
})

describe('a part as it is written', () => {
  test.each([
    [2, { number: 2 }],
    [' 2 ', { number: 2 }],
    ['Run = 3', { column: 'Run', value: '3' }],
    [
      { column: 'Run', value: 3 },
      { column: 'Run', value: '3' },
    ],
  ])('%j', (written, part) => {
    expect(parseRunPart(written)).toEqual(part)
  })

  test.each([0, 1.5, '', 'second', 'Run =', { column: 'Run' }, { column: 'Run', value: '3', row: 2 }, null])(
    '%j is refused',
    (written) => {
      expect(() => parseRunPart(written)).toThrow('names no part of a file')
    },
  )
})

describe('units in headers', () => {
  const named = (header: string, unit: 'kW' | 'hp' | 'PS'): ColumnMapping => ({
    engineSpeed: { header: 'Speed', unit: 'rpm' },
    wheelPower: { header, unit },
  })
  const file = (header: string) => `Speed;${header}\n3000;20,1\n3050;20,6\n`

  test.each(['Power [kW]', 'Power (kW)', 'Power in kW', 'Power/kW', 'Power kW'])(
    '%s agrees with the mapping',
    (header) => {
      expect(read(file(header), undefined, named(header, 'kW'))[1]).toEqual([20.1, 20.6])
    },
  )

  test('another unit than that of the mapping is refused', () => {
    expect(problemOf(file('Power [PS]'), undefined, named('Power [PS]', 'kW'))).toMatchObject({
      code: 'ERR_COLUMN_UNIT',
      line: 1,
      detail: 'the file says PS, the mapping says kW.',
    })
  })

  test('hp in a header may be metric horsepower, if the mapping says so', () => {
    expect(read(file('Power [hp]'), undefined, named('Power [hp]', 'PS'))[1]).toEqual([20.1, 20.6])
    expect(() => read(file('Power [hp]'), undefined, named('Power [hp]', 'kW'))).toThrow('the file says hp')
  })
})
