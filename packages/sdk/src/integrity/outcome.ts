/** Why something was refused: a stable code, where, and what to do. */
export interface Refusal<Code extends string> {
  /** Stable code; the detail may change, the code may not. */
  readonly code: Code
  /** JSON Pointer (RFC 6901) to the member; empty for the whole. */
  readonly pointer: string
  /** What is wrong, in one sentence. */
  readonly detail: string
}

/** What a boundary function gives back: the value, or why there is none. */
export type Outcome<Value, Code extends string> =
  | { readonly ok: true; readonly value: Value }
  | { readonly ok: false; readonly problem: Refusal<Code> }

/** The accepted value. */
export function accepted<Value>(value: Value): { readonly ok: true; readonly value: Value } {
  return { ok: true, value }
}

/** A refusal at `pointer`. */
export function refused<Code extends string>(
  code: Code,
  detail: string,
  pointer = '',
): { readonly ok: false; readonly problem: Refusal<Code> } {
  return { ok: false, problem: { code, pointer, detail } }
}
