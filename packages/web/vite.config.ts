import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { brotliCompressSync, gzipSync } from 'node:zlib'
import { svelte } from '@sveltejs/vite-plugin-svelte'
import { defineConfig, type Plugin } from 'vite'
import { BundledLicences } from './bundled-licences.ts'

/** files.json: the names of all files that were built, for the service worker, which keeps them. */
function listFiles(): Plugin {
  return {
    name: 'list-files',
    enforce: 'post',
    generateBundle(_options, bundle) {
      const names = Object.keys(bundle).filter(name => name.startsWith('assets/'))
      this.emitFile({ type: 'asset', fileName: 'files.json', source: JSON.stringify(names.sort()) })
    },
  }
}

/** Each file also compressed as far as it goes, for the cellar to send: Brotli to this machine and over TLS, else gzip. */
function compressBefore(): Plugin {
  return {
    name: 'compress-before',
    apply: 'build',
    writeBundle({ dir }, bundle) {
      for (const name of Object.keys(bundle)) {
        if (!/\.(?:js|css|html|json|svg|txt)$/.test(name)) continue
        const file = join(dir!, name)
        const content = readFileSync(file)
        if (content.length < WORTH_BYTES) continue
        writeFileSync(`${file}.br`, brotliCompressSync(content))
        writeFileSync(`${file}.gz`, gzipSync(content, { level: 9 }))
      }
    },
  }
}

/** What is smaller fits into one packet as it is. */
const WORTH_BYTES = 1000

const licences = new BundledLicences()

/**
 * The screens, built to dist/, which the cellar serves. While they are being made: `npm run screens` serves them anew
 * with each change and hands everything else on to a cellar that runs on its usual port.
 */
export default defineConfig({
  root: import.meta.dirname,
  base: './',
  plugins: [svelte(), listFiles(), licences.write('licences.txt'), compressBefore()],
  build: {
    target: 'es2023',
    outDir: 'dist',
    emptyOutDir: true,
    // Data stay in files of their own: the cellar's pages allow no data in addresses but for pictures.
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 700,
    rolldownOptions: {
      input: {
        index: `${import.meta.dirname}/index.html`,
        'service-worker': `${import.meta.dirname}/src/service-worker/service-worker.ts`,
      },
      output: {
        // A service worker is found by its name, and has to stand above what it serves.
        entryFileNames: ({ name }) => (name === 'service-worker' ? '[name].js' : 'assets/[name]-[hash].js'),
      },
    },
  },
  worker: { format: 'es', plugins: () => [licences.collect()] },
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
