/** Files as they are dropped, told apart by what is in them, never by their names. Everything is taken as hostile. */
import type { Comparison } from '@fairpull/sdk/contract'
import {
  parseStrictJson,
  readKeySet,
  readTrust,
  type Trust,
  type TrustBundle,
  type VerificationKey,
} from '@fairpull/sdk/verify'
import type { FileRole, GivenFile, Question, ReadFile } from './messages.ts'
import { verifierWords as words } from './words.ts'

/** What the files hold. */
export interface Contents {
  readonly files: readonly ReadFile[]
  readonly summary: string | null
  readonly comparison: Comparison | null
  readonly trust: Trust | null
  readonly keys: readonly VerificationKey[]
}

/** A key set has no window of its own; whoever names the issuer vouches for all time. */
const SINCE_EVER = '1970-01-01T00:00:00Z'

const COMPACT_JWS = /^[\w-]*\.[\w-]*\.[\w-]*$/

interface Part {
  readonly role: FileRole
  readonly problem?: string
  readonly contents?: Partial<Omit<Contents, 'files'>>
}

/** The contents of all files. Of two files of one role the later one counts. */
export async function readFiles({ files, issuer }: Question): Promise<Contents> {
  const parts = await Promise.all(files.map((file) => readPart(file, issuer)))
  const read = parts.map(({ role, problem = null }, i) => ({ name: files[i]?.name ?? '', role, problem }))
  const nothing = { summary: null, comparison: null, trust: null, keys: [] }
  return Object.assign(nothing, ...parts.map(({ contents }) => contents), { files: read })
}

async function readPart({ bytes }: GivenFile, issuer: string): Promise<Part> {
  const text = new TextDecoder().decode(bytes).trim()
  if (COMPACT_JWS.test(text)) return { role: 'summary', contents: { summary: text } }
  const json = parseStrictJson(bytes)
  if (!json.ok) return { role: 'unknown', problem: words.notJson(json.problem.detail) }
  const value = json.value
  if (hasText(value, 'summary')) return { role: 'summary', contents: { summary: value.summary } }
  if (hasList(value, 'runs')) return { role: 'comparison', contents: { comparison: value as unknown as Comparison } }
  if (hasList(value, 'keys')) return readKeyFile(value, issuer)
  return { role: 'unknown', problem: words.notKnown }
}

/** A trust bundle is trusted as it says; a key set for the issuer that is named, and for nobody without a name. */
async function readKeyFile(value: { readonly keys: readonly unknown[] }, issuer: string): Promise<Part> {
  const isBundle = value.keys.some((key) => typeof key === 'object' && key !== null && 'jwk' in key)
  if (!isBundle && issuer === '') {
    const keys = await readKeySet(value)
    return keys.ok ? { role: 'keys', contents: { keys: keys.value } } : { role: 'keys', problem: keys.problem.detail }
  }
  const bundle = isBundle ? value : vouched(value.keys, issuer)
  const trust = await readTrust(bundle)
  const role = isBundle ? 'trust' : 'keys'
  return trust.ok ? { role, contents: { trust: trust.value } } : { role, problem: trust.problem.detail }
}

function vouched(keys: readonly unknown[], issuer: string): TrustBundle {
  return { keys: keys.map((jwk) => ({ jwk, issuer, notBefore: SINCE_EVER })) } as TrustBundle
}

function hasText<Name extends string>(value: unknown, name: Name): value is Record<Name, string> {
  return isRecord(value) && typeof value[name] === 'string'
}

function hasList<Name extends string>(value: unknown, name: Name): value is Record<Name, readonly unknown[]> {
  return isRecord(value) && Array.isArray(value[name])
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
