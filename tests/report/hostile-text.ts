/** Puts a text into every member that somebody else may have written. */

/** Members whose words come from a closed list, are numbers as text, or are used as the key of something. */
const CLOSED = new Set([
  ...['standing', 'status', 'severity', 'judgement', 'unit', 'kind', 'quantity', 'correction', 'measuredAt', 'scope'],
  ...['rule', 'purpose', 'cost', 'about', 'term', 'type', 'evidence', 'registration', 'on', 'relation', 'side', 'role'],
  ...['origin', 'state', 'place', 'as', 'probe', 'position', 'cycle', 'ignition', 'aspiration', 'fuelling', 'base64'],
  ...['transmission', 'reportIn', 'kernel', 'speedSymbol', 'mounting', 'vehicle', 'rollers', 'driveTyre', 'issuedAt'],
])

/** A copy with `text` for every free text; the numbers and the closed words stay. */
export function withText<T>(value: T, text: string, name = ''): T {
  if (typeof value === 'string') return (CLOSED.has(name) ? value : text) as T
  if (Array.isArray(value)) {
    const isScopeList = name === 'scope'
    return value.map((each) => withText(each, text, isScopeList ? '' : name)) as T
  }
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(Object.entries(value).map(([key, member]) => [key, withText(member, text, key)])) as T
}
