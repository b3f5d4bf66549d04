/** What page and worker say to each other. */
import type { VerificationReport } from '@fairpull/sdk/verify'

/** A file that was dropped, as it is. */
export interface GivenFile {
  readonly name: string
  readonly bytes: Uint8Array
}

/** A question to the worker. */
export interface Question {
  readonly files: readonly GivenFile[]
  /** Name of the issuer for whom the reader vouches the keys; empty when nobody is named. */
  readonly issuer: string
}

/** What a file turned out to be. */
export type FileRole = 'summary' | 'comparison' | 'trust' | 'keys' | 'unknown'

/** A file and what it is; with why it cannot be used where it cannot. */
export interface ReadFile {
  readonly name: string
  readonly role: FileRole
  readonly problem: string | null
}

/** What the worker is doing. */
export type Stage = 'reading' | 'verifying' | 'recomputing'

/** What the worker says. */
export type Answer =
  | { readonly kind: 'stage'; readonly stage: Stage }
  | {
      readonly kind: 'done'
      readonly files: readonly ReadFile[]
      /** Null where there is no signed summary among the files. */
      readonly report: VerificationReport | null
      /** Why the result could not be computed anew; null where it was, or was not asked for. */
      readonly notRecomputed: string | null
    }
  | { readonly kind: 'failed'; readonly sentence: string }
