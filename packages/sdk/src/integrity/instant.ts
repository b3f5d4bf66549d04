const INSTANT = /^(\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])T(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d)(?:\.(\d{1,9}))?Z$/

/**
 * A time as text that compares like the time: `2026-03-01T09:30:00.000000000` for `2026-03-01T09:30:00Z`.
 *
 * @param text RFC 3339 in UTC with a `Z`, at most nanoseconds; anything else gives undefined. Pure; never throws.
 */
export function instantKey(text: unknown): string | undefined {
  const [, seconds, fraction = ''] = typeof text === 'string' ? (INSTANT.exec(text) ?? []) : []
  return seconds === undefined ? undefined : `${seconds}.${fraction.padEnd(9, '0')}`
}
