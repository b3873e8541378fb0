/**
 * The page of a rehearsal as it was built with the screens: how its markup is rendered, and the script and the style sheet
 * that stand in it. They are found by the name of their package.
 */
import { existsSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { pathToFileURL } from 'node:url'
import type { RenderPage } from '@attemper/web/rehearsal-page/page-input.ts'
import { UsageError } from '../exit-status.ts'

export interface BuiltPage {
  readonly render: RenderPage
  readonly script: string
  readonly style: string
  /** Notices of the works that stand in the script. */
  readonly licences: string
}

/** Throws a UsageError if it was not built. */
export async function builtPage(folder = builtFolder()): Promise<BuiltPage> {
  const files = ['page-server.js', 'page.js', 'page.css', 'licences.txt'].map(name => join(folder, name))
  if (!files.every(file => existsSync(file))) {
    throw new UsageError(
      'A page with charts can not be written, because it has not been built with the screens: say “npm run build” in the folder of the project.',
    )
  }
  const [server, script, style, licences] = files as [string, string, string, string]
  const { renderPage } = (await import(pathToFileURL(server).href)) as { readonly renderPage: RenderPage }
  const text = (file: string) => readFileSync(file, 'utf8')
  return { render: renderPage, script: text(script), style: text(style), licences: text(licences) }
}

function builtFolder(): string {
  return join(dirname(createRequire(import.meta.url).resolve('@attemper/web/package.json')), 'dist-page')
}
