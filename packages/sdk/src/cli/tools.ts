/** The heavy parts of the command, loaded when a command needs them and not before. */
import type {
  Comparison,
  Protocol,
  Result,
  RunCheckReport,
  SampleSizeReport,
  SampleSizeRequest,
} from '../contract/index.ts'
import type { ReadFile, RunFileOptions, SessionSurvey } from '../import/index.ts'

/** What the commands work with. A test hands over its own. */
export interface Tools {
  /** Assesses a comparison in this process. */
  readonly assess: (comparison: Comparison) => Promise<Result>
  /** How many runs and mountings a comparison needs. */
  readonly adviseSampleSize: (request: SampleSizeRequest) => Promise<SampleSizeReport>
  /** What every measured run shows by itself. */
  readonly checkEachRun: (comparison: Comparison) => Promise<readonly RunCheckReport[]>
  /** The protocols known here. */
  readonly protocols: () => Promise<readonly Protocol[]>
  /** Reads a comparison file and the runs it names. */
  readonly readComparison: (text: Uint8Array, readFile: ReadFile, options?: RunFileOptions) => Promise<Comparison>
  /** Reads a session folder. */
  readonly readSessionFolder: (readFile: ReadFile) => Promise<Comparison>
  /** Reads a session folder before all its runs are made. */
  readonly surveySessionFolder: (readFile: ReadFile) => Promise<SessionSurvey>
}

/** The engine and the import of this package. */
export const packageTools: Tools = {
  assess: async (comparison) => {
    const { assess } = await import('../local/index.ts')
    return assess(comparison)
  },
  adviseSampleSize: async (request) => {
    const { adviseSampleSize } = await import('../local/index.ts')
    return adviseSampleSize(request)
  },
  checkEachRun: async (comparison) => {
    const { checkEachRun } = await import('../local/index.ts')
    return checkEachRun(comparison)
  },
  protocols: async () => {
    const { protocols } = await import('../local/index.ts')
    return Object.values(protocols)
  },
  readComparison: async (text, readFile, options) => {
    const { readComparisonFile } = await import('../import/index.ts')
    return readComparisonFile(text, readFile, options)
  },
  readSessionFolder: async (readFile) => {
    const { readSessionFolder } = await import('../import/index.ts')
    return readSessionFolder(readFile)
  },
  surveySessionFolder: async (readFile) => {
    const { surveySessionFolder } = await import('../import/index.ts')
    return surveySessionFolder(readFile)
  },
}
