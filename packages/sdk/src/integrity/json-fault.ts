/** Why a JSON text was refused. */
export type JsonCode =
  | 'ERR_JSON_ENCODING'
  | 'ERR_JSON_BOM'
  | 'ERR_JSON_SYNTAX'
  | 'ERR_JSON_TRAILING_TEXT'
  | 'ERR_JSON_DEPTH'
  | 'ERR_JSON_TOO_MANY_PARTS'
  | 'ERR_JSON_DUPLICATE_NAME'
  | 'ERR_JSON_FORBIDDEN_NAME'
  | 'ERR_JSON_LONE_SURROGATE'
  | 'ERR_JSON_NOT_FINITE'
  | 'ERR_JSON_NUMBER_OVERFLOW'
  | 'ERR_JSON_NUMBER_UNDERFLOW'
  | 'ERR_JSON_NUMBER_UNSAFE'
  | 'ERR_JSON_NEGATIVE_ZERO'

/** Ends a scan; `parseStrictJson` turns it into a refusal, so no caller ever sees it. */
export class JsonFault extends Error {
  readonly code: JsonCode

  constructor(code: JsonCode, message: string) {
    super(message)
    this.name = 'JsonFault'
    this.code = code
  }
}
