import { availableParallelism } from 'node:os'
import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['packages/*/src/**/*.test.ts', 'test/**/*.test.ts'],
    setupFiles: ['test/one-seed.ts'],
    testTimeout: 60_000,
    // Left to itself it keeps one core free, which on two cores is every second one.
    maxWorkers: availableParallelism(),
    // A worker for each file would load the same code over and over. No module here keeps a state that a test could leave
    // behind for the next, and a test that needs another process starts one.
    isolate: false,
  },
})
