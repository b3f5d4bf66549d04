import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { componentSchemas, contractDocs } from '@fairpull/sdk/contract/schemas'
import type { SchemaObject } from 'openapi3-ts/oas31'

/**
 * The schemas of the contract with their descriptions, which stand beside the contract wherever it is installed: as
 * comments of its type declarations.
 *
 * @returns schemas by name; they refer to each other as `#/components/schemas/Name`.
 */
export function contractSchemas(): Readonly<Record<string, SchemaObject>> {
  const folder = new URL('.', import.meta.resolve('@fairpull/sdk/contract'))
  const declarations = readdirSync(fileURLToPath(folder)).filter((name) => name.endsWith('.d.ts'))
  return componentSchemas(contractDocs(declarations.map((name) => readFileSync(new URL(name, folder), 'utf8'))))
}
