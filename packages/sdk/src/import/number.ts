/** Numbers as files write them. */

const withPoint = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/
const withComma = /^[+-]?(?:\d+(?:,\d*)?|,\d+)(?:[eE][+-]?\d+)?$/

/**
 * The number in a cell; undefined for anything else, thousands marks and NaN included.
 *
 * @param decimal mark before the fraction.
 */
export function numberOf(cell: string, decimal: '.' | ','): number | undefined {
  if (!(decimal === '.' ? withPoint : withComma).test(cell)) return undefined
  const value = Number(decimal === '.' ? cell : cell.replace(',', '.'))
  if (!Number.isFinite(value)) return undefined
  return value === 0 ? 0 : value
}
