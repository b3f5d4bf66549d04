import type { Finding } from '../contract/index.ts'
import type { AwaitedRun, ImportProblem } from '../import/index.ts'

/** What a session folder lacks, the cheapest first. `fairpull check --json` prints it. */
export interface FolderCheck {
  /** Whether nothing is missing but runs still to be made. */
  readonly isReady: boolean
  /** What cannot be read. */
  readonly problems: readonly ImportProblem[]
  /** What notes can still supply, at once. */
  readonly fromRecords: readonly Finding[]
  /** What is to be noted with each of the awaited runs. */
  readonly withEachRun: readonly Finding[]
  /** What differs between the sides, or is not credible: to be put right in the notes or on the rig. */
  readonly toPutRight: readonly Finding[]
  /** Measured runs still to be made. */
  readonly awaited: readonly AwaitedRun[]
  /** Checks that only the awaited or further runs can answer. */
  readonly forTheRuns: readonly Finding[]
  /** Checks that are met. */
  readonly met: readonly Finding[]
}
