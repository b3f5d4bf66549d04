import { defineConfig } from 'vitest/config'
import { PublishedTable } from './support/published-table.ts'

/** One file to hold a run to; set by the test that runs the commands of the documents. */
const { FAIRPULL_TESTS } = process.env

export default defineConfig({
  test: {
    include: [FAIRPULL_TESTS ?? '**/*.test.ts'],
    // One worker a core: the default leaves one idle, which of two is half the machine.
    maxWorkers: '100%',
    // The files of a worker share what they import: no test file leaves anything behind, and reading it all anew for each of
    // them took as long as the tests.
    isolate: false,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default', new PublishedTable()],
  },
})
