/**
 * A number rounded to so many significant digits, as every number of a result is before it meets a limit or is written.
 *
 * @param value any number.
 * @param digits significant digits. [1], 1 to 17
 * @returns the rounded number; −0 becomes 0, and what is not finite is handed back as it is.
 */
export function roundSignificant(value: number, digits = 6): number {
  if (!Number.isFinite(value) || value === 0) return value === 0 ? 0 : value
  return Number(value.toPrecision(digits))
}
