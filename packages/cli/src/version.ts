import { readFileSync } from 'node:fs'

/** The version that stands in this package's own package.json. */
export function version(): string {
  const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8'))
  return String(version)
}
