import { defineConfig } from 'vitest/config'
import { PublishedTable } from './support/published-table.ts'

export default defineConfig({
  test: {
    include: ['**/*.test.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default', new PublishedTable()],
  },
})
