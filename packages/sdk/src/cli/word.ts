/** What a word of the command is. */
import type { Command } from 'commander'
import type { Surroundings } from './command.ts'
import type { ExitCode } from './exit-codes.ts'

/** What a word is defined with. */
export interface WordContext extends Surroundings {
  /** All words there are. */
  readonly words: readonly Word[]
  /** Says how the command ended. */
  readonly end: (code: ExitCode) => void
}

/** What a file in `commands/` exports. */
export interface WordModule {
  /** Adds arguments, options, help and action to the subcommand of the word. */
  readonly define: (command: Command, context: WordContext) => void
}

/** One word of the command. */
export interface Word {
  /** The word itself. */
  readonly name: string
  /** What it does, in one sentence. */
  readonly summary: string
  /** Loads its file. */
  readonly load: () => Promise<WordModule>
}
