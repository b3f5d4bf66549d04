/** Why the engine refuses to compute. Codes are stable; messages may change. */
export type EngineErrorCode =
  /** A quantity lies outside the range in which its formula holds; NaN lies outside every range. */
  | 'ERR_OUT_OF_RANGE'
  /** A unit is in no list. */
  | 'ERR_UNKNOWN_UNIT'
  /** Two units belong to different kinds of quantity. */
  | 'ERR_UNIT_KIND'
  /** A list that must hold something is empty. */
  | 'ERR_EMPTY'
  /** Two lists that run side by side differ in length. */
  | 'ERR_LENGTH'
  /** No protocol has that name. */
  | 'ERR_UNKNOWN_PROTOCOL'
  /** A list that must rise strictly does not, such as a time axis. */
  | 'ERR_NOT_INCREASING'

/**
 * A broken precondition inside the engine: the caller passed what it must not.
 *
 * Weak or invalid evidence is never an exception; it is a finding or a judgement.
 */
export class EngineError extends Error {
  override readonly name = 'EngineError'
  /** Stable reason. */
  readonly code: EngineErrorCode
  /** Name of the argument or member concerned. */
  readonly path: string

  constructor(code: EngineErrorCode, message: string, path: string) {
    super(message)
    this.code = code
    this.path = path
  }
}
