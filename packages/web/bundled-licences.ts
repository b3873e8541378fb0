import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import type { Plugin } from 'vite'

/** Files in which a package carries its licence. */
const LICENCE_FILE = /^(?:licen[cs]e|copying)(?:[.-].*)?$/i

/**
 * Collects the licences of all packages from which something stands in a bundle, for their notices have to go with every
 * copy: those of workers too, whose bundles are made apart (`collect`), and writes them to one text (`write`). A package
 * without a licence text ends the build.
 */
export class BundledLicences {
  readonly #folders = new Set<string>()

  collect(): Plugin {
    return {
      name: 'collect-licences',
      generateBundle: (_options, bundle) => this.#note(bundle),
    }
  }

  write(fileName: string): Plugin {
    const note = (bundle: Bundle) => this.#note(bundle)
    const text = () => this.#text()
    return {
      name: 'write-licences',
      generateBundle(_options, bundle) {
        note(bundle)
        this.emitFile({ type: 'asset', fileName, source: text() })
      },
    }
  }

  #note(bundle: Bundle): void {
    for (const each of Object.values(bundle)) {
      if (each.type !== 'chunk') continue
      for (const id of each.moduleIds) {
        const folder = packageFolder(id)
        if (folder !== null) this.#folders.add(folder)
      }
    }
  }

  #text(): string {
    const notices = [...this.#folders].map(noticeOf).sort()
    return `Attemper contains parts of the following works, under their licences.\n\n${notices.join('\n')}`
  }
}

type Bundle = Parameters<Extract<Plugin['generateBundle'], (...args: never[]) => unknown>>[1]

/** The folder of the package that a module belongs to; null: our own. */
function packageFolder(id: string): string | null {
  const path = /^(?:\0)?(.*\/node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(id.split('?')[0]!)?.[1]
  return path !== undefined && existsSync(join(path, 'package.json')) ? path : null
}

function noticeOf(folder: string): string {
  const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Named
  const file = readdirSync(folder).find(each => LICENCE_FILE.test(each))
  if (file === undefined) {
    throw new Error(`${name} ${version} stands in the screens, but ${dirname(folder)} has no licence of it.`)
  }
  return `## ${name} ${version} (${license})\n\n${readFileSync(join(folder, file), 'utf8').trim()}\n`
}

interface Named {
  readonly name: string
  readonly version: string
  readonly license: string
}
