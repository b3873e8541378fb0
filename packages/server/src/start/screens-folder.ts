import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'

/**
 * Where the built screens lie, if they were installed with this cellar. They are found by the name of their package, and
 * only as files: nothing of them runs here.
 */
export function screensFolder(): string | undefined {
  try {
    const page = createRequire(import.meta.url).resolve('@attemper/web/package.json')
    return join(dirname(page), 'dist')
  } catch {
    return undefined
  }
}
