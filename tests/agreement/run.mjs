// Holds the engine against the method written a second time, and writes tests/agreement/RESULTS.md.
// Usage: npm run agreement [-- --sessions N]. Needs python3 with numpy and scipy.
import { dirname, join } from 'node:path'
import process from 'node:process'
import { fileURLToPath } from 'node:url'
import { runnerImport } from 'vite'

const main = join(dirname(fileURLToPath(import.meta.url)), 'main.ts')
const { module } = await runnerImport(main, { configFile: false, logLevel: 'warn' })
process.exitCode = await module.main(process.argv.slice(2))
