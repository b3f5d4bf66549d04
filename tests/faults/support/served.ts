/** What a running service shows of itself to those who ask over HTTP. */
import {
  type Checkpoint,
  type NoteVerifier,
  readVerifierKey,
  verifyCheckpoint,
} from '../../../packages/sdk/src/integrity/index.ts'

/** Identities of all assessments of an API key, read page by page, in order. */
export async function allIdentities(url: string, apiKey: string): Promise<readonly string[]> {
  const found: string[] = []
  for (let cursor: string | null = ''; cursor !== null; ) {
    const query: string = cursor === '' ? '?limit=7' : `?limit=7&cursor=${cursor}`
    const page = await fetch(`${url}/v1/assessments${query}`, { headers: { authorization: `Bearer ${apiKey}` } })
    const { items, nextCursor } = await page.json()
    found.push(...items.map(({ id }: { readonly id: string }) => id))
    cursor = nextCursor
  }
  return found.sort()
}

/** Key of the log, as the trust list names it. */
export async function logVerifierOf(url: string): Promise<NoteVerifier> {
  const { list } = await (await fetch(`${url}/trust.json`)).json()
  const { logs } = JSON.parse(Buffer.from(list.split('.')[1], 'base64url').toString('utf8'))
  const read = await readVerifierKey(logs[0])
  if (!read.ok) throw new Error(read.problem.detail)
  return read.value
}

/** A signed checkpoint, verified. */
export async function checkpointIn(text: string, verifier: NoteVerifier): Promise<Checkpoint> {
  const read = await verifyCheckpoint(new TextEncoder().encode(text), verifier)
  if (!read.ok) throw new Error(read.problem.detail)
  return read.value
}
