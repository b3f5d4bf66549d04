/** Letters, digits and `._-` only: it is echoed, logged and shown. */
const SAFE = /^[A-Za-z0-9][A-Za-z0-9._-]{7,99}$/

/** Identity of a request: the caller's own if it is safe to repeat, else a fresh one. */
export function requestIdOf(sent: string | null, fresh: () => string): string {
  return sent !== null && SAFE.test(sent) ? sent : fresh()
}
