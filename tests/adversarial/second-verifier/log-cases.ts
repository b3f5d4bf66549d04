/** Cases of the parts of the record alone: proofs, checkpoints, trust lists, withdrawals. */
import {
  consistencyProof,
  importSigningKey,
  inclusionProof,
  leafHash,
  type PublicJwk,
  type SeenTrustList,
  type SigningKey,
  signCheckpoint,
  signDocument,
  signTrustList,
  signWithdrawal,
  subtreesOf,
  TRUST_LIST_TYP,
  type TreeHash,
  type TrustList,
  treeRoot,
  verifierKeyText,
} from '../../../packages/sdk/src/integrity/index.ts'
import { createKeyText } from '../../../packages/service/src/signing/key-file.ts'
import { knownSigningKey, otherSigningKey } from '../support/summary-fixture.ts'

/** A hash in base64. */
type Hash = string

export interface InclusionCase {
  readonly kind: 'inclusion'
  readonly name: string
  readonly index: number
  readonly size: number
  readonly leaf: Hash
  readonly root: Hash
  readonly proof: readonly Hash[]
}

export interface ConsistencyCase {
  readonly kind: 'consistency'
  readonly name: string
  readonly oldSize: number
  readonly oldRoot: Hash
  readonly newSize: number
  readonly newRoot: Hash
  readonly proof: readonly Hash[]
}

export interface CheckpointCase {
  readonly kind: 'checkpoint'
  readonly name: string
  readonly checkpoint: string
  readonly logs: readonly string[]
}

export interface TrustListCase {
  readonly kind: 'trust-list'
  readonly name: string
  readonly list: string
  readonly root: PublicJwk
  readonly now: string
  readonly seen?: SeenTrustList
}

export interface WithdrawalCase {
  readonly kind: 'withdrawal'
  readonly name: string
  readonly notice: string
  readonly keys: readonly PublicJwk[]
  readonly issuer: string
  readonly summary: string
}

/** A case of one part. */
export type PartCase = InclusionCase | ConsistencyCase | CheckpointCase | TrustListCase | WithdrawalCase

/** Every case. */
export async function partCases(): Promise<readonly PartCase[]> {
  return [...(await proofs()), ...(await checkpoints()), ...(await trustLists()), ...(await withdrawals())]
}

const base64 = (hash: TreeHash): Hash => Buffer.from(hash).toString('base64')

async function proofs(): Promise<readonly PartCase[]> {
  const leaves = await Promise.all(Array.from({ length: 13 }, (_, at) => leafHash(Uint8Array.of(at))))
  const tree = await subtreesOf(leaves)
  const root = async (size: number) => base64(await treeRoot(tree, size))
  const cases: PartCase[] = []
  for (const [index, size] of [
    [0, 1],
    [0, 13],
    [7, 8],
    [12, 13],
    [4, 7],
  ] as const) {
    const proof = (await inclusionProof(tree, { index, size })).map(base64)
    const sound = {
      kind: 'inclusion',
      index,
      size,
      leaf: base64(leaves[index] ?? Uint8Array.of()),
      root: await root(size),
      proof,
    } as const
    const name = `${index} of ${size}`
    cases.push(
      { ...sound, name },
      { ...sound, name: `${name}, one hash more`, proof: [...proof, sound.leaf] },
      { ...sound, name: `${name}, another index`, index: index === 0 ? 1 : index - 1 },
      { ...sound, name: `${name}, another root`, root: await root(size + (size < 13 ? 1 : -1)) },
      { ...sound, name: `${name}, past the end`, index: size },
    )
  }
  for (const [oldSize, newSize] of [
    [0, 13],
    [1, 13],
    [8, 13],
    [7, 13],
    [6, 7],
    [13, 13],
  ] as const) {
    const proof = (await consistencyProof(tree, { oldSize, newSize })).map(base64)
    const sound = {
      kind: 'consistency',
      oldSize,
      newSize,
      oldRoot: await root(oldSize),
      newRoot: await root(newSize),
      proof,
    } as const
    const name = `${oldSize} to ${newSize}`
    cases.push(
      { ...sound, name },
      { ...sound, name: `${name}, one hash more`, proof: [...proof, sound.newRoot] },
      { ...sound, name: `${name}, one hash less`, proof: proof.length > 0 ? proof.slice(1) : [sound.oldRoot] },
      { ...sound, name: `${name}, another beginning`, oldRoot: await root(5) },
      { ...sound, name: `${name}, shrinking`, oldSize: newSize + 1 },
    )
  }
  return cases
}

async function checkpoints(): Promise<readonly PartCase[]> {
  const [log, other] = [await freshKey(), await otherSigningKey()]
  const origin = 'log.example.org'
  const logs = [await verifierKeyText(origin, log)]
  const tree = { origin, size: 12, root: new Uint8Array(32).fill(7) }
  const sound = await signCheckpoint(tree, log)
  const forged = await signCheckpoint(tree, other)
  const texts: Readonly<Record<string, string>> = {
    sound,
    'signed by two, one of them unknown': sound + (forged.split('\n\n')[1] ?? ''),
    'signed by another': forged,
    'with an extension line': sound.replace('\n\n', '\nmore\n\n'),
    'of another size': sound.replace('\n12\n', '\n13\n'),
    'with a size of a leading zero': sound.replace('\n12\n', '\n012\n'),
    'without a blank line': sound.replace('\n\n', '\n'),
    'without a line feed at its end': sound.trimEnd(),
    'of an unknown log': await signCheckpoint({ ...tree, origin: 'other.example' }, log),
    'with a short root': await signCheckpoint({ ...tree, root: new Uint8Array(31) }, log),
    empty: '',
  }
  return Object.entries(texts).map(([name, checkpoint]) => ({
    kind: 'checkpoint',
    name: `checkpoint ${name}`,
    checkpoint,
    logs,
  }))
}

async function trustLists(): Promise<readonly PartCase[]> {
  const [root, online] = [await freshKey(), await knownSigningKey()]
  const list: TrustList = {
    ...{ version: 3, issuedAt: '2026-01-01T00:00:00Z', expiresAt: '2027-01-01T00:00:00Z' },
    keys: [{ jwk: online.jwk, issuer: 'bench.example', notBefore: '2026-01-01T00:00:00Z' }],
  }
  const jws = await signTrustList(list, root)
  const sound = { kind: 'trust-list', list: jws, root: root.jwk, now: '2026-06-01T00:00:00Z' } as const
  const digest = `sha256:${'0'.repeat(64)}`
  const signed = (change: object) => signTrustList({ ...list, ...change } as TrustList, root)
  return [
    { ...sound, name: 'list: sound' },
    { ...sound, name: 'list: at its last moment', now: '2027-01-01T00:00:00Z' },
    { ...sound, name: 'list: expired', now: '2027-01-01T00:00:00.000000001Z' },
    { ...sound, name: 'list: newer than seen', seen: { version: 2, digest } },
    { ...sound, name: 'list: older than seen', seen: { version: 4, digest } },
    { ...sound, name: 'list: another of this version', seen: { version: 3, digest } },
    { ...sound, name: 'list: by an online key', list: await signTrustList(list, online) },
    { ...sound, name: 'list: of another type', list: await signDocument(list, 'fairpull-receipt+jws', root) },
    { ...sound, name: 'list: a list', list: await signDocument([] as object, TRUST_LIST_TYP, root) },
    { ...sound, name: 'list: version 0', list: await signed({ version: 0 }) },
    { ...sound, name: 'list: half a version', list: await signed({ version: 1.5 }) },
    { ...sound, name: 'list: without an end', list: await signed({ expiresAt: null }) },
    { ...sound, name: 'list: no JWS', list: 'x' },
  ]
}

async function withdrawals(): Promise<readonly PartCase[]> {
  const [key, other] = [await knownSigningKey(), await otherSigningKey()]
  const said = { issuer: 'bench.example', summary: 's1', at: '2026-05-01T00:00:00Z', reason: 'a torn hose' }
  const sound = { kind: 'withdrawal', keys: [key.jwk], issuer: 'bench.example', summary: 's1' } as const
  const notice = await signWithdrawal(said, key)
  return [
    { ...sound, name: 'withdrawal: sound', notice },
    { ...sound, name: 'withdrawal: of another summary', notice, summary: 's2' },
    { ...sound, name: 'withdrawal: of another issuer', notice, issuer: 'other.example' },
    { ...sound, name: 'withdrawal: by another key', notice: await signWithdrawal(said, other) },
    { ...sound, name: 'withdrawal: without a time', notice: await signWithdrawal({ ...said, at: 'soon' }, key) },
    { ...sound, name: 'withdrawal: of another type', notice: await signDocument(said, TRUST_LIST_TYP, key) },
  ]
}

async function freshKey(): Promise<SigningKey> {
  const imported = await importSigningKey(JSON.parse(await createKeyText()))
  if (!imported.ok) throw new Error(imported.problem.detail)
  return imported.value
}
