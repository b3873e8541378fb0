import { availableParallelism } from 'node:os'
import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['packages/*/src/**/*.test.ts', 'test/**/*.test.ts'],
    setupFiles: ['test/one-seed.ts'],
    testTimeout: 60_000,
    // Left to itself it keeps one core free, which on two cores is every second one.
    maxWorkers: availableParallelism(),
  },
})
