/** Broken preconditions inside the integrity folder: a caller handed over what cannot be written, digested or signed. */
export type IntegrityCode =
  | 'ERR_NOT_CANONICALISABLE'
  | 'ERR_RUN_NOT_DIGESTIBLE'
  | 'ERR_COMPARISON_NOT_DIGESTIBLE'
  | 'ERR_PAYLOAD_NOT_SIGNABLE'

/** Thrown when data that the program itself made breaks a precondition. Hostile input never ends in this. */
export class IntegrityError extends Error {
  /** Stable code. */
  readonly code: IntegrityCode
  /** JSON Pointer to the member; empty for the whole. */
  readonly pointer: string

  constructor(code: IntegrityCode, message: string, pointer = '') {
    super(pointer === '' ? message : `${message} (at ${pointer})`)
    this.name = 'IntegrityError'
    this.code = code
    this.pointer = pointer
  }
}
