/** The source of the contract, as the generator of `schemas/` reads it. */
import { readdirSync, readFileSync } from 'node:fs'
import { type ContractDocs, contractDocs } from '../../packages/sdk/src/contract/contract-docs.ts'

const folder = new URL('../../packages/sdk/src/contract/', import.meta.url)

/** Files that hold the published interfaces: what `index.ts` exports. */
const published = [
  'claim.ts',
  'comparison.ts',
  'corrections.ts',
  'facility.ts',
  'mounting.ts',
  'plan.ts',
  'problem.ts',
  'protocol.ts',
  'receipt.ts',
  'accounting.ts',
  'result.ts',
  'run.ts',
  'run-check.ts',
  'study.ts',
  'sample-size.ts',
  'summary.ts',
  'trace-reading.ts',
  'units.ts',
  'vehicle.ts',
]

/** Text of one file of the contract. */
export function contractSource(name: string): string {
  return readFileSync(new URL(name, folder), 'utf8')
}

/** Comments of every file of the contract. */
export function committedDocs(): ContractDocs {
  const names = readdirSync(folder).filter((name) => name.endsWith('.ts'))
  return contractDocs(names.map(contractSource))
}

/** Names of the types that the published files export. */
export function documentedTypes(): readonly string[] {
  const exported = /^export (?:interface|type) (\w+)/gmu
  return published.flatMap((name) => [...contractSource(name).matchAll(exported)].map((match) => match[1] ?? ''))
}

/** Files that `index.ts` opens, to hold against the list above. */
export function publishedFiles(): readonly string[] {
  return [...new Set([...contractSource('index.ts').matchAll(/'\.\/([\w-]+\.ts)'/gu)].map((match) => match[1] ?? ''))]
}

/** The list above. */
export const publishedList: readonly string[] = published
