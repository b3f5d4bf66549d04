/** One step of a path: a member's name or an element's index. */
export type PathStep = string | number

/** JSON Pointer (RFC 6901 §3) of a path: `~` is written `~0`, `/` is written `~1`. Pure. */
export function jsonPointer(path: readonly PathStep[]): string {
  return path.map((step) => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}
