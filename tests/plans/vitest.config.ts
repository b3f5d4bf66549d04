import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: { include: ['plans/cheating/*.study.ts'], testTimeout: 24 * 3_600_000, reporters: ['default'] },
})
