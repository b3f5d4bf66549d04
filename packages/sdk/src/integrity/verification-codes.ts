import type { HeaderCode } from './header-policy.ts'
import type { EnvelopeCode } from './jws.ts'
import type { LogCode } from './log-receipt.ts'
import type { RegistrationCode } from './registration.ts'
import type { PayloadCode } from './summary-payload.ts'
import type { DistrustCode } from './trust.ts'

/** The steps of a verification, in their order. */
export const verificationSteps = [
  'envelope',
  'header',
  'payload',
  'signature',
  'key',
  'log',
  'registration',
  'recomputation',
  'scope',
] as const

/** One step of a verification. */
export type VerificationStep = (typeof verificationSteps)[number]

/** Why a summary was refused. Closed: messages may change, codes may not. */
export type VerificationCode =
  | EnvelopeCode
  | HeaderCode
  | PayloadCode
  | LogCode
  | 'ERR_SIGNATURE_NO_KEY'
  | 'ERR_SIGNATURE_BROKEN'
  | 'ERR_KEY_UNKNOWN'
  | DistrustCode
  | RegistrationCode
  | 'ERR_RECOMPUTED_DIFFERS'

/** The second word of a code. */
type Subject<Code extends VerificationCode> = Code extends `ERR_${infer Word}_${string}` ? Word : never

const stepOfSubject = {
  JWS: 'envelope',
  HEADER: 'header',
  PAYLOAD: 'payload',
  SIGNATURE: 'signature',
  KEY: 'key',
  LOG: 'log',
  REGISTRATION: 'registration',
  RECEIPT: 'registration',
  PLAN: 'registration',
  RECOMPUTED: 'recomputation',
} as const satisfies Readonly<Record<Subject<VerificationCode>, VerificationStep>>

/** The step that gives a code, told by the code's second word, so that a page which verifies need not carry the table. */
export function stepOf(code: VerificationCode): VerificationStep {
  return stepOfSubject[code.split('_')[1] as Subject<VerificationCode>]
}

/** Every code with the step that gives it. */
export const verificationCodes = {
  ERR_JWS_TYPE: 'envelope',
  ERR_JWS_LENGTH: 'envelope',
  ERR_JWS_PARTS: 'envelope',
  ERR_JWS_ENCODING: 'envelope',
  ERR_JWS_SIGNATURE_LENGTH: 'envelope',
  ERR_JWS_HEADER_DUPLICATE_NAME: 'envelope',
  ERR_JWS_HEADER_JSON: 'envelope',
  ERR_HEADER_B64: 'header',
  ERR_HEADER_CRIT: 'header',
  ERR_HEADER_JKU: 'header',
  ERR_HEADER_JWK: 'header',
  ERR_HEADER_X5U: 'header',
  ERR_HEADER_X5C: 'header',
  ERR_HEADER_MEMBER: 'header',
  ERR_HEADER_ALG_NONE: 'header',
  ERR_HEADER_ALG_SYMMETRIC: 'header',
  ERR_HEADER_ALG_OTHER: 'header',
  ERR_HEADER_TYP: 'header',
  ERR_HEADER_KID: 'header',
  ERR_PAYLOAD_JSON: 'payload',
  ERR_PAYLOAD_NOT_CANONICAL: 'payload',
  ERR_PAYLOAD_SHAPE: 'payload',
  ERR_SIGNATURE_NO_KEY: 'signature',
  ERR_SIGNATURE_BROKEN: 'signature',
  ERR_KEY_UNKNOWN: 'key',
  ERR_KEY_OTHER_ISSUER: 'key',
  ERR_KEY_OUTSIDE_WINDOW: 'key',
  ERR_KEY_REVOKED: 'key',
  ERR_LOG_RECEIPT_FORM: 'log',
  ERR_LOG_CHECKPOINT: 'log',
  ERR_LOG_INCLUSION: 'log',
  ERR_LOG_FORK: 'log',
  ERR_REGISTRATION_CONTRADICTED: 'registration',
  ERR_RECEIPT_FORM: 'registration',
  ERR_RECEIPT_SIGNATURE: 'registration',
  ERR_RECEIPT_KEY: 'registration',
  ERR_RECEIPT_ISSUER: 'registration',
  ERR_RECEIPT_PLAN: 'registration',
  ERR_RECEIPT_NUMBER: 'registration',
  ERR_RECEIPT_TIME: 'registration',
  ERR_RECEIPT_RUN: 'registration',
  ERR_RECEIPT_INDEX: 'registration',
  ERR_PLAN_ENTRY: 'registration',
  ERR_RECEIPT_ENTRY: 'registration',
  ERR_PLAN_ORDER: 'registration',
  ERR_RECOMPUTED_DIFFERS: 'recomputation',
} as const satisfies { readonly [Code in VerificationCode]: (typeof stepOfSubject)[Subject<Code>] }

/** Thrown by `verifySummaryOrThrow`; the payload of a refused summary is not exposed. */
export class VerificationError extends Error {
  /** Stable code. */
  readonly code: VerificationCode
  /** Step that gave it. */
  readonly step: VerificationStep
  /** JSON Pointer to the member concerned; empty for the whole. */
  readonly pointer: string

  constructor(code: VerificationCode, message: string, pointer = '') {
    super(message)
    this.name = 'VerificationError'
    this.code = code
    this.step = stepOf(code)
    this.pointer = pointer
  }
}
