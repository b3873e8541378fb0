import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { BundledLicences } from '../../packages/web/bundled-licences.ts'

const folder = mkdtempSync(join(tmpdir(), 'attemper-licences-'))
beforeAll(() => {
  putPackage('@some/part', { LICENSE: 'Do as you like.' })
  putPackage('bare', {})
})
afterAll(() => rmSync(folder, { recursive: true }))

function putPackage(name: string, files: Readonly<Record<string, string>>): void {
  const own = join(folder, 'node_modules', name)
  mkdirSync(own, { recursive: true })
  writeFileSync(join(own, 'package.json'), JSON.stringify({ name, version: '1.2.3', license: 'MIT' }))
  for (const [file, text] of Object.entries(files)) writeFileSync(join(own, file), text)
}

/** What the text says after a bundle with these modules of packages. */
function textOf(...modules: readonly string[]): string {
  const plugin = new BundledLicences().write('licences.txt')
  const moduleIds = modules.map(each => join(folder, 'node_modules', each))
  let text = ''
  const context = { emitFile: ({ source }: { source: string }) => (text = source) }
  const generate = plugin.generateBundle as unknown as (this: object, options: object, bundle: object) => void
  generate.call(context, {}, { 'a.js': { type: 'chunk', moduleIds: [...moduleIds, '/own/main.ts'] } })
  return text
}

test('what stands in a bundle goes with its licence, once', () => {
  const text = textOf('@some/part/a.js', '@some/part/deep/b.js')
  expect(text.match(/## @some\/part 1\.2\.3 \(MIT\)\n\nDo as you like\./g)).toHaveLength(1)
  expect(text).not.toContain('own')
})

test('a work without a licence text ends the build', () => {
  expect(() => textOf('bare/index.js')).toThrow(/bare 1\.2\.3 stands in the screens/)
})

test('the built screens name each work that the package asks for, and those of the workers', () => {
  const root = join(import.meta.dirname, '../../packages/web')
  const asked = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as Asks
  const text = readFileSync(join(root, 'dist', 'licences.txt'), 'utf8')
  const works = Object.keys(asked.dependencies).filter(name => !name.startsWith('@attemper/'))
  expect(works.length).toBeGreaterThan(3)
  // Drawn numbers and texts of plans: bundled from the core, the first in workers only.
  for (const name of [...works, 'svelte', 'pure-rand', 'yaml']) expect(text).toContain(`\n## ${name} `)
})

interface Asks {
  readonly dependencies: Readonly<Record<string, string>>
}
