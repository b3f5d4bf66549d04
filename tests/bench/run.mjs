// Measures, and writes tests/bench/RESULTS.md. Usage: npm run bench -- engine|http|client, or all of them.
// The orchestrating code is TypeScript that Vite's runner loads; what is measured are built programmes in processes of
// their own.
import { dirname, join } from 'node:path'
import process from 'node:process'
import { fileURLToPath } from 'node:url'
import { runnerImport } from 'vite'

const main = join(dirname(fileURLToPath(import.meta.url)), 'main.ts')
const { module } = await runnerImport(main, { configFile: false, logLevel: 'warn' })
process.exitCode = await module.main(process.argv.slice(2))
