/** Reading, digesting, signing and verifying signed summaries, offline. The entry `@fairpull/sdk/verify`. */
export { canonicalJson, canonicalJsonBytes } from './canonical-json.ts'
export {
  type Checkpoint,
  type CheckpointCode,
  checkpointText,
  readCheckpointText,
  signCheckpoint,
  verifyCheckpoint,
} from './checkpoint.ts'
export { comparisonDigest, inputDigests, protocolDigest, runDigest } from './digest.ts'
export {
  importPublicKey,
  importSigningKey,
  jwkThumbprint,
  type KeyCode,
  type PublicJwk,
  type SigningKey,
  signBytes,
  type VerificationKey,
  verifyBytes,
} from './ed25519-key.ts'
export { type HeaderCode, SUMMARY_ALG, SUMMARY_TYP, type SummaryHeader } from './header-policy.ts'
export { type IntegrityCode, IntegrityError } from './integrity-error.ts'
export type { JsonCode } from './json-fault.ts'
export { type EnvelopeCode, MAX_JWS_LENGTH } from './jws.ts'
export { type KeySetCode, readKeySet } from './key-set.ts'
export { checkLogReceipt, type LogCode, type LogEvidence, summaryLogEntry, withdrawalLogEntry } from './log-receipt.ts'
export { type LogFiles, type LogView, LogViewError, openLogView } from './log-view.ts'
export {
  type ConsistencyClaim,
  type InclusionClaim,
  type ProofCode,
  verifyConsistency,
  verifyInclusion,
} from './merkle-proof.ts'
export {
  consistencyProof,
  type HashFunction,
  inclusionProof,
  leafHash,
  nodeHash,
  type SubtreeReader,
  subtreesOf,
  type TreeHash,
  treeRoot,
} from './merkle-tree.ts'
export type { Outcome, Refusal } from './outcome.ts'
export type { PlanFirst } from './plan-first.ts'
export { mountingDigest, type PlanRunEntry, type PlanVersion, planLogEntry, planRunLogEntry } from './plan-log.ts'
export { RECEIPT_TYP, type ReceiptCode, signReceipt, type VerifiedReceipt, verifyReceipt } from './receipt.ts'
export {
  compareInputs,
  compareResults,
  type InputComparison,
  type RecomputationAnswer,
  type ResultComparison,
} from './recompute.ts'
export { sha256, sha256Text } from './sha256.ts'
export { signSummary } from './sign-summary.ts'
export {
  type NoteCode,
  type NoteSignature,
  type NoteVerifier,
  parseNote,
  readVerifierKey,
  type SignedNote,
  signNote,
  type VerifiedNote,
  verifierKeyText,
  verifyNote,
} from './signed-note.ts'
export { MAX_JSON_DEPTH, parseStrictJson, type StrictJsonOptions } from './strict-json.ts'
export type { PayloadCode } from './summary-payload.ts'
export { placeOf, readTilePath, TILE_WIDTH, type Tile, type TilePlace, tilePath, tilesOf } from './tile.ts'
export { entriesOfBundle, entryBundle, hashesOfTile, subtreesFromTiles, type TileReader } from './tile-tree.ts'
export {
  type DistrustCode,
  type KeyStatus,
  readTrust,
  type Trust,
  type TrustBundle,
  type TrustCode,
  type TrustEntry,
  type TrustedKey,
} from './trust.ts'
export {
  type ReadTrustList,
  readTrustList,
  type SeenTrustList,
  signTrustList,
  TRUST_LIST_TYP,
  type TrustList,
  type TrustListCode,
} from './trust-list.ts'
export { signDocument, type TypedJwsCode, type VerifiedDocument, verifyDocument } from './typed-jws.ts'
export {
  type VerificationCode,
  VerificationError,
  type VerificationStep,
  verificationCodes,
  verificationSteps,
} from './verification-codes.ts'
export type {
  KeyReport,
  LogReport,
  RecomputationReport,
  RegistrationReport,
  ScopeReport,
  StepOutcome,
  StepReport,
  Verdict,
  VerificationFailure,
  VerificationReport,
  WithdrawalReport,
} from './verification-report.ts'
export { type VerifiedSummary, type VerifyOptions, verifySummary, verifySummaryOrThrow } from './verify-summary.ts'
export {
  signWithdrawal,
  verifyWithdrawal,
  WITHDRAWAL_TYP,
  type Withdrawal,
  withdrawalShown,
} from './withdrawal.ts'
