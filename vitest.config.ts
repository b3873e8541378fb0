import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['packages/*/src/**/*.test.ts', 'test/**/*.test.ts'],
    setupFiles: ['test/one-seed.ts'],
    testTimeout: 60_000,
  },
})
