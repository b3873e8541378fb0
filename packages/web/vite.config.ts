import { svelte } from '@sveltejs/vite-plugin-svelte'
import { defineConfig } from 'vite'

/**
 * The screens, built to dist/, which the cellar serves. While they are being made: `npm run screens` serves them anew
 * with each change and hands everything else on to a cellar that runs on its usual port.
 */
export default defineConfig({
  root: import.meta.dirname,
  base: './',
  plugins: [svelte()],
  build: {
    target: 'es2023',
    outDir: 'dist',
    emptyOutDir: true,
    // Data stay in files of their own: the cellar's pages allow no data in addresses but for pictures.
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 700,
  },
  worker: { format: 'es' },
  server: {
    host: '127.0.0.1',
    strictPort: true,
    port: 1051,
    proxy: {
      '^/(health|vessels|batches|alarms|notify|streams|readings|session|people|tokens|changes|events|preferences|push|doors|demo|backup|retention|openapi.json|metrics)':
        'http://127.0.0.1:1050',
    },
  },
})
