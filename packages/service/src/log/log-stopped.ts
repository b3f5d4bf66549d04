/** The log takes no entries and signs nothing until an operator has looked at it. Its message is for the operator. */
export class LogStopped extends Error {
  override readonly name = 'LogStopped'
  readonly code = 'ERR_LOG_STOPPED'
}
