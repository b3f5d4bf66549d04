import { LogStopped } from '../log/log-stopped.ts'
import { StoreError } from '../store/failure.ts'
import { type Refusal, refuse } from './problem.ts'

const RETRY_SOON = { headers: { 'retry-after': '1' } }
const RETRY_LATER = { headers: { 'retry-after': '60' } }

/**
 * What a caller is told of an error that was thrown inside: whether to try again, and nothing of its causes.
 *
 * Everything but a store that is away or full is a defect of ours.
 */
export function refusalOfThrown(thrown: unknown): Refusal {
  if (thrown instanceof LogStopped) {
    const sentence = 'The log takes no entries until its operator has checked it; send the same request again later.'
    return refuse('ERR_LOG_STOPPED', sentence, RETRY_LATER)
  }
  const code = thrown instanceof StoreError ? thrown.code : undefined
  switch (code) {
    case 'ERR_STORE_UNAVAILABLE':
      return refuse('ERR_STORE_UNAVAILABLE', 'The database does not answer; send the same request again.', RETRY_SOON)
    case 'ERR_STORE_CONTENDED':
      return refuse('ERR_BUSY', 'Too many requests changed the same record; send the same request again.', RETRY_SOON)
    case 'ERR_STORE_FULL':
      return refuse('ERR_STORE_FULL', 'The database has no room left; the operator has to make some.', RETRY_LATER)
    default:
      return refuse('ERR_INTERNAL', 'The service failed; its log knows more under this request id.')
  }
}
