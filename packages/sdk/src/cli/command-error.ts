import type { exitCodes } from './exit-codes.ts'

/** A command that cannot go on: what is wrong, and the next command to try. */
export class CommandError extends Error {
  override readonly name = 'CommandError' as const
  /** Which exit code it ends with. */
  readonly exit: keyof typeof exitCodes
  /** Command to try next. */
  readonly next: string

  constructor(exit: keyof typeof exitCodes, message: string, next: string, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause })
    this.exit = exit
    this.next = next
  }
}
