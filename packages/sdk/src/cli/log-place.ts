/** A log that was named on the command line: at an address, or in a folder it was saved to. */
import type { SummaryPayload } from '../contract/index.ts'
import { type LogFiles, type LogView, openLogView, type WithdrawalReport, withdrawalShown } from '../integrity/index.ts'
import { parseStrictJson } from '../integrity/strict-json.ts'
import { reasonOf } from './command.ts'
import { CommandError } from './command-error.ts'
import { type CommandIo, joined } from './io.ts'
import type { KeyMaterial } from './keys-file.ts'

/** A log at hand, and what its keeper says of a withdrawal. */
export interface LogPlace {
  readonly view: LogView
  readonly askRecord: (payload: SummaryPayload) => Promise<WithdrawalReport>
}

/** Files of a log and of the statuses beside it. */
interface Place extends LogFiles {
  /** The answer of `/v1/summaries/<id>/status`; undefined where there is none. */
  readonly status: (id: string) => Promise<Uint8Array | undefined>
  /** The time that an answer holds for, RFC 3339; null where it was saved some time ago. */
  readonly now: () => string | null
}

/**
 * Opens the log of `--log`.
 *
 * An address ends in `/log`, as in `https://dyno.example/log`; the status of a summary is asked for beside it. A folder holds
 * `checkpoint` and `tile/…` as they are served, and `status/<id>.json` where a status was saved.
 *
 * @throws CommandError when there is no log, or a log you trust did not sign it.
 */
export async function openLogPlace(io: CommandIo, place: string, keys: KeyMaterial, next: string): Promise<LogPlace> {
  const files = /^https?:\/\//.test(place) ? await atAddress(io, place, next) : await inFolder(io, place, next)
  const view = await openLogView(files, keys.trust?.logs ?? [])
  if (!view.ok) throw new CommandError('input', `${place} is no log to go by: ${view.problem.detail}.`, next)
  return { view: view.value, askRecord: (payload) => withdrawalOf(payload, files, { place, keys, next }) }
}

async function atAddress(io: CommandIo, place: string, next: string): Promise<Place> {
  const log = place.replace(/\/+$/, '')
  const base = log.replace(/\/log$/, '')
  const fetched = async (address: string) => {
    try {
      const response = await (io.fetch ?? fetch)(address, { signal: io.signal })
      if (response.status === 404) return undefined
      if (response.ok) return new Uint8Array(await response.arrayBuffer())
      throw new Error(`it answers ${response.status}`)
    } catch (cause) {
      if (io.signal.aborted) throw cause
      throw new CommandError('service', `${address} cannot be read: ${reasonOf(cause)}.`, next, cause)
    }
  }
  const checkpoint = await fetched(`${log}/checkpoint`)
  if (checkpoint === undefined) throw noLog(place, next)
  return {
    checkpoint,
    read: (path) => fetched(`${log}/${path}`),
    status: (id) => fetched(`${base}/v1/summaries/${encodeURIComponent(id)}/status`),
    now: () => new Date().toISOString(),
  }
}

async function inFolder({ files }: CommandIo, place: string, next: string): Promise<Place> {
  const saved = async (path: string) => {
    try {
      return await files.read(joined(place, path))
    } catch (cause) {
      const reason = reasonOf(cause)
      if (reason === 'there is no such file') return undefined
      throw new CommandError('input', `${joined(place, path)} cannot be read: ${reason}.`, next, cause)
    }
  }
  const checkpoint = await saved('checkpoint')
  if (checkpoint === undefined) throw noLog(place, next)
  // An identity is part of a path only where it can be nothing else.
  const status = async (id: string) => (/^[\w-]+$/.test(id) ? saved(`status/${id}.json`) : undefined)
  return { checkpoint, read: saved, status, now: () => null }
}

function noLog(place: string, next: string): CommandError {
  return new CommandError(
    'input',
    `there is no log at ${place}: neither an address such as https://dyno.example/log, nor a folder with a checkpoint in it.`,
    next,
  )
}

const notChecked: WithdrawalReport = { status: 'not-checked', asOf: null, reason: null }

/** A withdrawal counts when it is signed; that there is none is the word of whoever was asked. */
async function withdrawalOf(
  { issue }: SummaryPayload,
  { status, now }: Pick<Place, 'status' | 'now'>,
  { place, keys, next }: { readonly place: string; readonly keys: KeyMaterial; readonly next: string },
): Promise<WithdrawalReport> {
  const bytes = await status(issue.id)
  const read = bytes === undefined ? undefined : parseStrictJson(bytes)
  if (read === undefined) return notChecked
  const notice = noticeIn(read.ok ? read.value : undefined)
  const asOf = now()
  if (notice === null) return asOf === null ? notChecked : { status: 'not-withdrawn', asOf, reason: null }
  const shown = await withdrawalShown(notice, issue, keys)
  if (shown !== undefined) return { status: 'withdrawn', asOf: shown.at, reason: shown.reason }
  throw new CommandError(
    'input',
    `${place} shows a withdrawal of this summary that nobody you trust signed, so nothing follows from it.`,
    next,
  )
}

/** The notice in a status; null where it says that there is none, undefined where it says nothing of the kind. */
function noticeIn(status: unknown): string | null | undefined {
  if (typeof status !== 'object' || status === null || !('withdrawal' in status)) return undefined
  const { withdrawal } = status
  if (withdrawal === null) return null
  const isNotice = typeof withdrawal === 'object' && 'notice' in withdrawal && typeof withdrawal.notice === 'string'
  return isNotice ? String(withdrawal.notice) : undefined
}
