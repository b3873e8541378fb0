/**
 * The reference pages, made from the tables by which the files are read and proof-read: `npm run docs` writes them,
 * `npm run docs -- --check` exits with 1 when a page is not what it would write.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { beerSchema } from '@attemper/core/beer/schema.ts'
import { planSchema } from '@attemper/core/plan/schema.ts'
import type { JsonSchema } from '@attemper/core/source-text/shape.ts'
import { vesselSchema } from '@attemper/core/vessel/schema.ts'
import { notifySchema } from '@attemper/server/notify/schema.ts'
import { alarmsPage } from './alarms-page.ts'
import { findingsPage } from './findings-page.ts'
import { referencePage } from './reference-page.ts'
import { rehearsalPage } from './rehearsal-page.ts'

const ROOT = join(import.meta.dirname, '..')

const QUANTITIES = `Quantities are written with their units: \`18 °C\`, \`64 °F\`, \`1.012\`, \`3.1 °P\`, \`10 points\` (a point is 0.001 of specific
gravity), \`3 d\`, \`1 d 12 h\`, \`PT72H\`, \`75 %\`. A value that is not known exactly has its standard deviation behind it:
\`1.012 ± 1.5 points\`, \`30 W ± 5 %\`.`

const CAUTION = `Heat, pressure, electricity and carbon dioxide can hurt people, and software is never the only protection: fit an
independent over-temperature cut-out and residual-current protection, ventilate where carbon dioxide collects, and follow
local codes and licensed practice.`

interface Source {
  readonly name: string
  readonly schema: JsonSchema
  readonly introduction: readonly string[]
  readonly quantities?: string
}

const SOURCES: readonly Source[] = [
  {
    name: 'plan',
    schema: planSchema,
    introduction: [
      'To learn the language, read [the guide](../guide/plan-language.md) first; this page lists every word.',
      `${CAUTION} Boiling wort scalds and foams over: a stage that boils is never left alone. A closed vessel that ferments needs a relief valve that works without software.`,
    ],
  },
  { name: 'vessel', schema: vesselSchema, introduction: [CAUTION] },
  { name: 'beer', schema: beerSchema, introduction: [] },
  {
    name: 'notify',
    schema: notifySchema,
    introduction: [
      'How messages look, and when they are sent, stands in [alarms.md](alarms.md). Passwords and secrets stand in this text: only whoever may change something in the cellar can read it there.',
      'Web push needs no line here: a browser that was added as a device, in the screens, is told everything. A `push` channel gives the devices a name to be told by, so that rows under `tell` can say what each is told, and when not. Browsers offer web push only to pages that came by https, or from this very machine: start the cellar with `--tls-cert` and `--tls-key`.',
      '`attemper channels set FILE` proof-reads the file and hands it to a running cellar, `attemper channels show` gives it back, `attemper channels try NAME` sends a test message, and `attemper channels` tells of each channel whether it works.',
    ],
    quantities:
      'A channel has exactly one of `e-mail`, `webhook`, `mqtt` and `push`. Times of day are local.',
  },
]

/** Path from the root of the project, and text. */
export function makePages(): ReadonlyMap<string, string> {
  const pages = SOURCES.flatMap(
    ({ name, schema, introduction, quantities = QUANTITIES }): [string, string][] => {
      const file = `${name}.schema.json`
      const made = `The same as a JSON Schema, for editors that complete and explain while you type: [${file}](${file}).`
      const opening = [String(schema.description), ...introduction, quantities, made].join('\n\n')
      return [
        [`docs/reference/${name}.md`, referencePage(titleOf(name), opening, schema)],
        [`docs/reference/${file}`, `${JSON.stringify(schema, null, 2)}\n`],
      ]
    },
  )
  return new Map([
    ...pages,
    ['docs/reference/findings.md', findingsPage()],
    ['docs/reference/alarms.md', alarmsPage()],
    ['docs/reference/rehearsal.md', rehearsalPage(ROOT)],
  ])
}

function titleOf(name: string): string {
  return `${name.charAt(0).toUpperCase()}${name.slice(1)} files`
}

/** Names of the pages whose text on disk is not the given one. */
export function stalePages(pages: ReadonlyMap<string, string>, root: string): readonly string[] {
  return [...pages].filter(([path, text]) => readOrNull(join(root, path)) !== text).map(([path]) => path)
}

function readOrNull(path: string): string | null {
  try {
    return readFileSync(path, 'utf8')
  } catch {
    return null
  }
}

function main(): void {
  const pages = makePages()
  const stale = stalePages(pages, ROOT)
  if (process.argv.includes('--check')) {
    for (const path of stale) console.error(`${path} is not what its source says. Run npm run docs.`)
    if (stale.length > 0) process.exitCode = 1
    return
  }
  for (const path of stale) {
    mkdirSync(dirname(join(ROOT, path)), { recursive: true })
    writeFileSync(join(ROOT, path), pages.get(path)!)
    console.log(`wrote ${path}`)
  }
}

if (import.meta.main) main()
