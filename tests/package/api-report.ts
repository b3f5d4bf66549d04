/** The published interface as text: every name of every entry with its type, read from the emitted declarations. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Extractor, ExtractorConfig, ExtractorLogLevel } from '@microsoft/api-extractor'
import { root } from '../support/source-files.ts'

const sdk = join(root, 'packages/sdk')

const HEAD = `# Interface of @fairpull/sdk

Generated from the declarations of the package, one section for each entry; \`npm run api\` writes it, and a test holds it
against them. What each name means, with units and errors, is in the documentation comments of the declarations; what a
schema takes is in \`schemas/\`.
`

/** The whole document. */
export function apiDocument(entries: Readonly<Record<string, string>>): string {
  const sections = Object.entries(entries).map(
    ([entry, types]) => `\n## ${entry}\n\n\`\`\`ts\n${reportOf(join(sdk, types))}\n\`\`\`\n`,
  )
  return `${HEAD}${sections.join('')}`
}

/** The names that one file of declarations exports. @throws Error with what the extractor found wrong. */
function reportOf(declarations: string): string {
  const folder = mkdtempSync(join(tmpdir(), 'fairpull-api-'))
  const config = ExtractorConfig.prepare({
    configObject: {
      projectFolder: sdk,
      mainEntryPointFilePath: declarations,
      apiReport: { enabled: true, reportFileName: 'report.api.md', reportFolder: folder, reportTempFolder: folder },
      docModel: { enabled: false },
      dtsRollup: { enabled: false },
      tsdocMetadata: { enabled: false },
      newlineKind: 'lf',
      compiler: { overrideTsconfig: { compilerOptions, files: [declarations] } },
      messages: { extractorMessageReporting: { default: { logLevel: ExtractorLogLevel.None } } },
    },
    configObjectFullPath: join(sdk, 'api-extractor.json'),
    packageJsonFullPath: join(sdk, 'package.json'),
  })
  const faults: string[] = []
  Extractor.invoke(config, {
    localBuild: true,
    messageCallback: (message) => {
      if (message.logLevel === ExtractorLogLevel.Error) faults.push(message.text)
      message.handled = true
    },
  })
  if (faults.length > 0) throw new Error(`${declarations}:\n${faults.join('\n')}`)
  const report = readFileSync(join(folder, 'report.api.md'), 'utf8')
  rmSync(folder, { recursive: true })
  const names = /```ts\n([\s\S]*)\n```/.exec(report)?.[1] ?? ''
  return shortened(names.replaceAll(/^ *\/\/ (@public.*|\(undocumented\)|\(No @packageDocumentation.*)\n/gm, '')).trim()
}

/** Schemas are objects whose inferred type repeats the whole document: what they accept is in `schemas/`. */
function shortened(names: string): string {
  return names.replaceAll(/^(export const \w+: z\.\w+)<[^;\n]*\{\n[\s\S]*?^\}[^\n]*;$/gm, '$1')
}

/** The declarations are read by the extractor's own compiler, which is older than the project's. */
const compilerOptions = {
  target: 'es2022',
  lib: ['es2023', 'dom', 'dom.iterable'],
  module: 'nodenext',
  moduleResolution: 'nodenext',
  strict: true,
  skipLibCheck: true,
  types: ['node'],
}
