/** What this software says of a case, in the words that both verifiers answer in. */
import {
  importPublicKey,
  type LogView,
  LogViewError,
  openLogView,
  readKeySet,
  readTrust,
  readTrustList,
  readVerifierKey,
  type Trust,
  verifyConsistency,
  verifyInclusion,
  verifySummary,
  verifyWithdrawal,
} from '../../../packages/sdk/src/integrity/index.ts'
import type { VerificationCase } from './corpus.ts'
import type { PartCase } from './log-cases.ts'

const bytesOf = (base64: string) => new Uint8Array(Buffer.from(base64, 'base64'))

/** The answer to a case. */
export function ourAnswer(each: VerificationCase | PartCase): Promise<Readonly<Record<string, unknown>>> {
  return each.kind === 'summary' ? ofSummary(each) : ofPart(each)
}

async function ofSummary(each: VerificationCase) {
  const { name, summary, trust, keys, log, files, comparison } = each
  const [known, served] = [trust === null ? undefined : await readTrust(trust), await readKeySet({ keys })]
  if (known?.ok === false || !served.ok) throw new Error(`${name}: the keys of the case cannot be read`)
  const refused = (code: string) => ({ name, verdict: 'refused', code, logged: null, planFirst: null })
  try {
    const view = files === undefined ? undefined : await viewOf(files, known?.value)
    const report = await verifySummary(summary, {
      keys: served.value,
      ...(known === undefined ? {} : { trust: known.value }),
      ...(log === undefined ? {} : { log }),
      ...(view === undefined ? {} : { view }),
      ...(comparison === undefined ? {} : { comparison }),
    })
    if (report.failure !== null) return refused(report.failure.code)
    const { verdict, logged, registration } = report
    return { name, verdict, code: null, logged: logged.status, planFirst: registration.planFirst }
  } catch (error) {
    if (error instanceof CheckpointRefused || error instanceof LogViewError) return refused(error.code)
    throw error
  }
}

class CheckpointRefused extends Error {
  readonly code = 'ERR_LOG_CHECKPOINT'
}

async function viewOf(files: NonNullable<VerificationCase['files']>, trust: Trust | undefined): Promise<LogView> {
  const read = async (path: string) => {
    const tile = files.tiles[path]
    return tile === undefined ? undefined : bytesOf(tile)
  }
  const view = await openLogView({ checkpoint: Buffer.from(files.checkpoint), read }, trust?.logs ?? [])
  if (!view.ok) throw new CheckpointRefused()
  return view.value
}

async function ofPart(each: PartCase): Promise<Readonly<Record<string, unknown>>> {
  const { name } = each
  switch (each.kind) {
    case 'inclusion': {
      const { index, size, leaf, root, proof } = each
      const claim = { index, size, leaf: bytesOf(leaf), root: bytesOf(root), proof: proof.map(bytesOf) }
      return { name, holds: (await verifyInclusion(claim)).ok }
    }
    case 'consistency': {
      const { oldSize, newSize, oldRoot, newRoot, proof } = each
      const roots = { oldRoot: bytesOf(oldRoot), newRoot: bytesOf(newRoot) }
      return { name, holds: (await verifyConsistency({ oldSize, newSize, ...roots, proof: proof.map(bytesOf) })).ok }
    }
    case 'checkpoint': {
      const logs = await Promise.all(each.logs.map(readVerifierKey))
      const known = logs.flatMap((log) => (log.ok ? [log.value] : []))
      const view = await openLogView({ checkpoint: Buffer.from(each.checkpoint), read: async () => undefined }, known)
      if (!view.ok) return { name, code: view.problem.code }
      const { checkpoint, isTrusted } = view.value
      const { origin, size, root } = checkpoint
      return { name, code: null, origin, size, root: Buffer.from(root).toString('hex'), isTrusted }
    }
    case 'trust-list': {
      const root = await importPublicKey(each.root)
      if (!root.ok) throw new Error(root.problem.detail)
      const { list, now, seen } = each
      const read = await readTrustList(list, { root: root.value, now, ...(seen === undefined ? {} : { seen }) })
      return read.ok ? { name, code: null, ...read.value.seen } : { name, code: read.problem.code }
    }
    case 'withdrawal': {
      const keys = await readKeySet({ keys: each.keys })
      const read = keys.ok ? await verifyWithdrawal(each.notice, keys.value) : keys
      const isMeant = read.ok && read.value.summary === each.summary && read.value.issuer === each.issuer
      return { name, says: isMeant ? 'withdrawn' : 'nothing' }
    }
  }
}
