/** Texts of the verifier page, English. Kept apart for translation. */
import type { StepOutcome, Verdict } from '@fairpull/sdk/verify'
import type { FileRole, Stage } from './messages.ts'

/** Texts of the page. */
export const verifierWords = {
  language: 'en',
  title: 'Check a signed summary',
  lead: 'Whether it is unaltered, who signed it, and whether its numbers come out again from the runs. All of it happens on this machine: the page loads nothing and sends nothing, and it works when saved and opened without a network.',
  choose: 'Files',
  chooseHint:
    'The signed summary; if you have them, the issuer’s keys or trust bundle, got by a way you trust, and the comparison with its runs. Choose them together or drop them anywhere on this page.',
  issuer: 'Whose keys are they?',
  issuerHint:
    'Only for a plain key set: the name of the issuer you got it from, exactly as in the summary. Left empty, the keys show that nothing was altered, not who signed.',
  clear: 'Start again',
  noScript: 'This page computes in your browser and needs JavaScript for it.',
  noCrypto:
    'This browser offers no Ed25519 signatures here. Save the page and open it from disk, or use a newer browser.',
  stage: {
    reading: 'Reading the files …',
    verifying: 'Checking the signature …',
    recomputing: 'Computing the result anew …',
  } satisfies Record<Stage, string>,
  filesHeading: 'What you gave',
  role: {
    summary: 'signed summary',
    comparison: 'comparison with runs',
    trust: 'trust bundle',
    keys: 'keys',
    unknown: 'not recognised',
  } satisfies Record<FileRole, string>,
  notJson: (detail: string) => `neither a signed summary nor JSON with one meaning: ${detail}`,
  notKnown: 'none of the things that this page can read',
  noSummary: 'There is no signed summary among these files.',
  failed: 'The files could not be read.',
  notComputable: 'The result could not be computed anew: the comparison given is none that can be judged.',
  verdict: {
    verified: 'Verified: unaltered, and signed by a key you trust',
    'intact-key-unknown': 'Intact, key unknown: unaltered, but nobody you trust vouches for the key',
    refused: 'Refused: do not rely on this summary',
  } satisfies Record<Verdict, string>,
  keyMissing: 'Not checked: the key to check the signature with is missing',
  keyMissingHint: 'Add the issuer’s keys to the files.',
  failure: (sentence: string, code: string, pointer: string) =>
    `${sentence} (${code}${pointer === '' ? '' : ` at ${pointer}`}).`,
  stepsHeading: 'Step by step',
  graded: (step: string, outcome: string) => `${step}, ${outcome}:`,
  outcome: {
    passed: 'passed',
    failed: 'failed',
    noted: 'noted',
    'not-checked': 'not checked',
    'not-reached': 'not reached',
  } satisfies Record<StepOutcome, string>,
  otherRuns: (runs: readonly string[]) => `Runs that are missing or other than signed: ${runs.join(', ')}.`,
  members: (members: readonly string[], count: number) =>
    `Members that are not equal: ${members.slice(0, 5).join(', ')}${count > 5 ? ', …' : ''}.`,
  contentHeading: 'What it says',
  issuedBy: 'Issued by',
  submittedBy: 'Submitted by',
  issuedAt: 'Issued at',
  supersedes: 'Replaces',
  standing: 'Standing',
  method: 'Method and protocol',
  runs: 'Runs',
  runsUsed: (used: number, recorded: number) => `${used} of ${recorded} used`,
  oneParty: 'Issuer and submitter are one party: it vouches for itself.',
  claimsHeading: 'Claims',
  limitsHeading: 'What it does not show',
  caution:
    'A signature shows who said what, and that nothing was altered since. It does not show that the rig was honest.',
} as const
