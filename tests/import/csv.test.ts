import { describe, expect, test } from 'vitest'
import {
  type ColumnMapping,
  type Dialect,
  ImportError,
  type ImportProblem,
  readCsv,
} from '../../packages/sdk/src/import/index.ts'

const columns: ColumnMapping = {
  engineSpeed: { header: 'Speed', unit: 'rpm' },
  wheelPower: { header: 'Power', unit: 'kW' },
}

const sweep = {
  engineSpeed: { unit: 'rpm', values: [3000, 3050.5, 3100] },
  wheelPower: { unit: 'kW', values: [20.1, 20.6, 21] },
}

interface Reading {
  readonly columns?: ColumnMapping
  readonly csv?: Partial<Dialect>
}

function read(file: string | Uint8Array, reading: Reading = {}) {
  const bytes = typeof file === 'string' ? new TextEncoder().encode(file) : file
  return readCsv(bytes, { name: 'b1.csv', columns, ...reading })
}

function problemsOf(file: string | Uint8Array, reading: Reading = {}): readonly ImportProblem[] {
  try {
    read(file, reading)
  } catch (error) {
    if (error instanceof ImportError) return error.problems
    throw error
  }
  throw new TypeError('the file was read')
}

function firstProblem(file: string | Uint8Array, reading: Reading = {}): ImportProblem | undefined {
  return problemsOf(file, reading)[0]
}

function utf16(text: string, order: 'le' | 'be', mark: boolean): Uint8Array {
  const units = `${mark ? '\ufeff' : ''}${text}`
  const view = new DataView(new ArrayBuffer(units.length * 2))
  for (let i = 0; i < units.length; i++) view.setUint16(i * 2, units.charCodeAt(i), order === 'le')
  return new Uint8Array(view.buffer)
}

const plain = 'Speed,Power\n3000,20.1\n3050.5,20.6\n3100,21\n'

describe('dialects are told from the file', () => {
  test.each([
    ['commas, decimal point', plain],
    ['semicolons, decimal comma', 'Speed;Power\n3000;20,1\n3050,5;20,6\n3100;21\n'],
    ['semicolons, decimal point', 'Speed;Power\n3000;20.1\n3050.5;20.6\n3100;21\n'],
    ['tabs, decimal comma', 'Speed\tPower\n3000\t20,1\n3050,5\t20,6\n3100\t21\n'],
    ['vertical bars', 'Speed|Power\n3000|20.1\n3050.5|20.6\n3100|21\n'],
    ['commas with quoted decimal commas', 'Speed,Power\n"3000","20,1"\n"3050,5","20,6"\n"3100","21"\n'],
    ['mixed line ends', 'Speed,Power\r\n3000,20.1\r3050.5,20.6\n3100,21'],
    ['blanks around cells', 'Speed , Power\n 3000 ,20.1 \n3050.5, 20.6\n3100,21\n'],
    ['empty lines', '\n\nSpeed,Power\n\n3000,20.1\n3050.5,20.6\n\n3100,21\n\n\n'],
    ['comment lines', '# rig 2\nSpeed,Power\n3000,20.1\n# a remark, with a comma\n3050.5,20.6\n3100,21\n'],
    ['lines before the header', 'Session 4;2031-05-01\nHall 3\nSpeed;Power\n3000;20,1\n3050,5;20,6\n3100;21\n'],
    ['a row of units', 'Speed,Power\n[rpm],[kW]\n3000,20.1\n3050.5,20.6\n3100,21\n'],
    ['a row of units spelt otherwise', 'Speed;Power\nU/min;\n3000;20,1\n3050,5;20,6\n3100;21\n'],
    ['columns nobody asked for', 'Lambda,Power,Note,Speed\n0.9,20.1,x,3000\n,20.6,,3050.5\n0.91,21,y,3100\n'],
    ['a delimiter at the end of each row', 'Speed;Power\n3000;20.1;\n3050.5;20.6;\n3100;21;\n'],
    ['signs and powers of ten', 'Speed,Power\n+3000,2.01e1\n3050.5,20.6\n3.1E3,21.\n'],
  ])('%s', (_, file) => {
    expect(read(file).channels).toEqual(sweep)
  })

  test('a mark of Windows-1252 in a header is found by its name', () => {
    const file = Uint8Array.from('Drehzahl/min\u00b0;Leistung\n3000;20,1\n3050,5;20,6\n3100;21\n', (c) =>
      c.charCodeAt(0),
    )
    const named = {
      engineSpeed: { header: 'Drehzahl/min°', unit: 'rpm' },
      wheelPower: { header: 'Leistung', unit: 'kW' },
    } as const
    const { channels, encoding } = read(file, { columns: named })
    expect(channels).toEqual(sweep)
    expect(encoding).toBe('windows-1252')
  })

  test.each([
    ['UTF-8 with a byte order mark', new TextEncoder().encode(`\ufeff${plain}`), 'utf-8'],
    ['UTF-16 little-endian with a mark', utf16(plain, 'le', true), 'utf-16le'],
    ['UTF-16 big-endian with a mark', utf16(plain, 'be', true), 'utf-16be'],
    ['UTF-16 little-endian without a mark', utf16(plain, 'le', false), 'utf-16le'],
    ['UTF-16 big-endian without a mark', utf16(plain, 'be', false), 'utf-16be'],
  ])('%s', (_, file, encoding) => {
    expect(read(file)).toMatchObject({ channels: sweep, encoding })
  })

  test('a comma before three digits everywhere may be either mark, and is refused until it is stated', () => {
    const file = 'Speed;Power\n3,000;20,100\n3,050;20,600\n'
    expect(firstProblem(file)).toMatchObject({ code: 'ERR_CSV_DECIMAL_AMBIGUOUS', file: 'b1.csv' })
    expect(read(file, { csv: { decimal: ',' } }).channels.engineSpeed?.values).toEqual([3, 3.05])
  })

  test('four digits without a mark show that thousands have none: the comma is decimal', () => {
    expect(read('Speed;Power\n3000;20,100\n3050;20,600\n').channels.wheelPower?.values).toEqual([20.1, 20.6])
  })

  test('what is stated is not questioned', () => {
    expect(firstProblem(plain, { csv: { delimiter: ';' } })).toMatchObject({ code: 'ERR_COLUMN_NOT_FOUND' })
  })
})

describe('what is wrong is named with file, line, column and fix', () => {
  test.each([
    ['an empty cell is never zero', 'Speed,Power\n3000,20.1\n3050,\n', 'ERR_CELL_EMPTY', 3, 'Power'],
    ['a missing cell neither', 'Speed,Power\n3000,20.1\n3050\n', 'ERR_CELL_EMPTY', 3, 'Power'],
    [
      'a first row of words that are no units',
      'Speed,Power\nn/a,n/a\n3000,20.1\n',
      'ERR_CELL_NOT_A_NUMBER',
      2,
      'Speed',
    ],
    ['a word among numbers', 'Speed,Power\n3000,20.1\n3050,n/a\n', 'ERR_CELL_NOT_A_NUMBER', 3, 'Power'],
    ['NaN', 'Speed,Power\n3000,NaN\n3050,20\n', 'ERR_CELL_NOT_A_NUMBER', 2, 'Power'],
    ['a number beyond all bounds', 'Speed,Power\n3000,1e999\n3050,20\n', 'ERR_CELL_NOT_A_NUMBER', 2, 'Power'],
    ['a unit in the cell', 'Speed,Power\n3000,20 kW\n3050,20\n', 'ERR_CELL_NOT_A_NUMBER', 2, 'Power'],
    ['a mark of thousands', 'Speed,Power\n"3,000.5",20.1\n3050,20.2\n', 'ERR_CELL_NOT_A_NUMBER', 2, 'Speed'],
    ['a line at the end that is none', 'Speed,Power\n3000,20.1\nend of run\n', 'ERR_CELL_NOT_A_NUMBER', 3, 'Speed'],
    ['a header that occurs twice', 'Speed,Power,Power\n3000,20.1,20.2\n', 'ERR_COLUMN_DUPLICATE', 1, 'Power'],
    ['more cells than headers', 'Speed,Power\n3000,20,1\n3050,20,6\n', 'ERR_ROW_LENGTH', 2, null],
    ['another unit than the mapping says', 'Speed,Power\nrpm,hp\n3000,20.1\n', 'ERR_COLUMN_UNIT', 2, 'Power'],
    ['a header and nothing else', 'Speed,Power\n', 'ERR_NO_ROWS', 1, null],
    ['a quotation mark that is never closed', 'Speed,Power\n3000,"20.1\n3050,20.2\n', 'ERR_CSV_SYNTAX', 2, null],
    ['no text at all', ' \n', 'ERR_FILE_EMPTY', null, null],
  ])('%s', (_, file, code, line, column) => {
    const problem = firstProblem(file)
    expect(problem).toMatchObject({ code, file: 'b1.csv', line, column })
    expect(problem?.fix).toMatch(/^[A-Z].*\.$/)
  })

  test('bytes that are no text', () => {
    expect(firstProblem(Uint8Array.of(0x50, 0x4b, 3, 4, 0, 0, 0, 8, 0, 0x81))).toMatchObject({
      code: 'ERR_FILE_NOT_TEXT',
    })
  })

  test('a header that is not there: the nearest one is offered, and the others are listed', () => {
    const problem = firstProblem('Sped;Power;Lambda\n3000;20,1;0,9\n')
    expect(problem).toMatchObject({ code: 'ERR_COLUMN_NOT_FOUND', column: 'Speed', line: 1 })
    expect(problem?.fix).toContain('Did you mean "Sped"?')
    expect(problem?.fix).toContain('Sped | Power | Lambda')
  })

  test('a decimal comma between commas is explained', () => {
    expect(firstProblem('Speed,Power\n3000,20,1\n3050,20,6\n')?.fix).toContain('decimal comma')
  })

  test('all bad cells are named up to five, not only the first', () => {
    const problems = problemsOf('Speed,Power\n3000,a\n3050,b\n3100,c\n3150,d\n3200,e\n3250,f\n')
    expect(problems.map(({ line }) => line)).toEqual([2, 3, 4, 5, 6])
  })

  test('the message has place, fault and fix of each', () => {
    const read2 = () => read('Speed,Power\n3000,20.1\n3050,\n')
    expect(read2).toThrow('b1.csv, line 3, column "Power": the cell is empty.\n  Leave out the row')
  })
})

describe('channels', () => {
  test('a mixture keeps how and where it was measured', () => {
    const mixture = { header: 'AFR', unit: '1', as: 'afr', stoichiometric: 14.7, probe: 'tailpipe' } as const
    const { channels } = read('Speed,AFR\n3000,13.1\n3050,13.2\n', {
      columns: { engineSpeed: { header: 'Speed', unit: 'rpm' }, mixture },
    })
    expect(channels.mixture).toEqual({
      unit: '1',
      as: 'afr',
      stoichiometric: 14.7,
      probe: 'tailpipe',
      values: [13.1, 13.2],
    })
  })

  test('a minus zero in a file is a zero', () => {
    expect(Object.is(read('Speed,Power\n3000,-0.0\n').channels.wheelPower?.values?.[0], 0)).toBe(true)
  })
})
