import { readFileSync } from 'node:fs'
import { registerHooks, stripTypeScriptTypes } from 'node:module'
import { fileURLToPath, pathToFileURL } from 'node:url'
import fc from 'fast-check'
import { type Collected, collectFrom } from './collect.ts'

const USUAL_SEED = 20_261_125

/** Has the tests' import of Vitest lead to what only collects them. */
export function collectInsteadOfVitest(): void {
  const instead = new URL('collect.ts', import.meta.url).href
  registerHooks({
    resolve: (specifier, context, next) =>
      specifier === 'vitest' ? { url: instead, shortCircuit: true } : next(specifier, context),
  })
  // A mutant is dead at the first case that fails; looking for a smaller one would only take time.
  fc.configureGlobal({ seed: USUAL_SEED, endOnFailure: true })
}

/** Has one file say something else when it is loaded; nothing on disk is touched. */
export function changeWhileLoading(file: string, change: (text: string) => string): void {
  registerHooks({
    load: (url, context, next) => {
      if (!url.startsWith('file:') || fileURLToPath(url) !== file) return next(url, context)
      const source = stripTypeScriptTypes(change(readFileSync(file, 'utf8')))
      return { format: 'module', shortCircuit: true, source }
    },
  })
}

export async function collect(files: readonly string[]): Promise<readonly Collected[]> {
  const all: Collected[] = []
  for (const file of files) all.push(...(await collectFrom(file, pathToFileURL(file).href)))
  return all
}
