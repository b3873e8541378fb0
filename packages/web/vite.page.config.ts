import { svelte } from '@sveltejs/vite-plugin-svelte'
import { defineConfig } from 'vite'
import { BundledLicences } from './bundled-licences.ts'

const PAGE = `${import.meta.dirname}/src/rehearsal-page`

/**
 * The page of a rehearsal, built to dist-page/: one script and one style sheet, which stand in the page itself and fetch
 * nothing; and a module for Node that renders the page's markup.
 */
export default defineConfig({
  root: import.meta.dirname,
  publicDir: false,
  plugins: [svelte(), new BundledLicences().write('licences.txt')],
  build: { target: 'es2023', outDir: 'dist-page', emptyOutDir: false },
  environments: {
    client: {
      build: {
        cssCodeSplit: false,
        rolldownOptions: {
          input: { page: `${PAGE}/page-client.ts` },
          output: { format: 'iife', entryFileNames: 'page.js', assetFileNames: 'page[extname]' },
        },
      },
    },
    ssr: {
      resolve: { noExternal: true },
      build: {
        ssr: true,
        minify: true,
        rolldownOptions: {
          input: { 'page-server': `${PAGE}/page-server.ts` },
          output: { entryFileNames: '[name].js' },
        },
      },
    },
  },
  builder: {
    async buildApp(builder) {
      for (const { client, ssr } of [builder.environments]) {
        await builder.build(client!)
        await builder.build(ssr!)
      }
    },
  },
})
