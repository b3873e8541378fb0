/**
 * The house rules as a test: `npm run tidy`. Each message says the place, the fault and the cure. `-- --write` copies
 * the import table into ARCHITECTURE.md and into the folders' pages.
 */
import { writeFileSync } from 'node:fs'
import { join, posix } from 'node:path'
import { findCycles } from './cycles.ts'
import { IMPORT_TABLE } from './import-table.ts'
import { findImportFaults, isTest, printImportTable, ruleFor, sayMayImport, unitOf } from './imports.ts'
import { blankComments } from './source-text.ts'
import { type Fault, lineAt, printFault, readTree, type Tree } from './tree.ts'

export type Rule = (tree: Tree) => readonly Fault[]

/** What the core must not touch, so that a rehearsal is the same as the real thing, and can be repeated to the bit. */
const BANNED_IN_CORE: readonly { readonly pattern: RegExp; readonly name: string; readonly cure: string }[] =
  [
    { pattern: /\bDate\.now\b/g, name: 'Date.now', cure: 'Take the time as an argument (now_s).' },
    {
      pattern: /\bnew\s+Date\b/g,
      name: 'new Date',
      cure: 'Count in seconds; dates are made at the edge, in the command line.',
    },
    {
      pattern: /\bMath\.random\b/g,
      name: 'Math.random',
      cure: 'Take a generator from random/ as an argument.',
    },
    { pattern: /\bconsole\b\s*\./g, name: 'console', cure: 'Return data, and let the caller print it.' },
    {
      pattern: /\bperformance\s*\.\s*(?:mark|measure|now|timeOrigin)\b/g,
      name: 'performance',
      cure: 'Measure in bench/ or in the command line.',
    },
    {
      pattern: /\bset(?:Timeout|Interval|Immediate)\b/g,
      name: 'a timer',
      cure: 'Say until when the answer stands.',
    },
    {
      pattern: /\bprocess\s*\.\s*(?:argv|cwd|env|exit|hrtime|memoryUsage|on|pid|platform|std\w+|version)\b/g,
      name: 'process',
      cure: 'Take what is needed as an argument.',
    },
    {
      pattern: /\btoLocale\w*\b|\bIntl\b\s*\./g,
      name: 'the locale of the machine',
      cure: 'Format with units/, which prints the same everywhere.',
    },
  ]

const bansInCore: Rule = tree =>
  sources(tree, 'packages/core/src/')
    .filter(([path]) => !isTest(path))
    .flatMap(([path, source]) => {
      const code = blankComments(source, true)
      return BANNED_IN_CORE.flatMap(ban =>
        [...code.matchAll(ban.pattern)].map(match => ({
          path,
          line: lineAt(code, match.index),
          fault: `${ban.name} is banned in the core.`,
          cure: ban.cure,
        })),
      )
    })

const LONGEST_FILE = 600

const longFiles: Rule = tree =>
  sources(tree, 'packages/')
    .filter(([path]) => unitOf(path) !== undefined && !isTest(path))
    .map(([path, source]) => ({ path, lines: source.trimEnd().split('\n').length }))
    .filter(({ lines }) => lines > LONGEST_FILE)
    .map(({ path, lines }) => ({
      path,
      line: LONGEST_FILE + 1,
      fault: `${lines} lines; ${LONGEST_FILE} are the most.`,
      cure: 'Look for the small machine in it that wants a name and a file of its own.',
    }))

const drawersOfOddsAndEnds: Rule = tree =>
  [...tree.keys()]
    .filter(path => /(?:^|\/)(?:utils?|helpers?|misc|common|stuff)(?:\.test)?\.[cm]?[jt]s$/.test(path))
    .map(path => ({
      path,
      line: 1,
      fault: 'A drawer of odds and ends.',
      cure: 'Name each file after the one thing that it holds.',
    }))

/** Test data copied from outside is not ours to tidy. */
function isForeign(path: string): boolean {
  return path.startsWith('test/published/data/')
}

const machinePaths: Rule = tree =>
  searchEverywhere(
    tree,
    /(?<![\w.~-])\/(?:work|root|home\/[\w-]+)\//g,
    'The path of one machine.',
    'Write it from the root of the project, or make a folder below the temporary folder of the system.',
  )

const lockfile: Rule = tree => {
  const path = 'package-lock.json'
  const text = tree.get(path) ?? ''
  const remedy =
    'Set omit-lockfile-registry-resolved=true in your npm configuration and run npm install again.'
  return [
    ...text.matchAll(/"resolved":\s*"([a-z+]+:\/\/[^"]*)"/g),
    ...text.matchAll(/\w+:\/\/registry\.[^"\s]*/g),
  ].map(match => ({
    path,
    line: lineAt(text, match.index),
    fault: 'The lock file names a host to download from, which may not be the one that others use.',
    cure: remedy,
  }))
}

const registrySettings: Rule = tree =>
  [...tree]
    .filter(([path, text]) => /(?:^|\/)\.npmrc$/.test(path) && /registry\s*=/.test(text))
    .map(([path]) => ({
      path,
      line: 1,
      fault: 'A tracked file chooses the package registry for everybody.',
      cure: 'Keep that setting in your own home folder.',
    }))

const examplesAreTested: Rule = tree => {
  const tests = sources(tree, '')
    .filter(([path]) => isTest(path))
    .map(([, source]) => source)
    .join('\n')
  return [...tree.keys()]
    .filter(path => path.startsWith('examples/') && !path.endsWith('.md'))
    .filter(path => {
      const name = posix.basename(path)
      return !tests.includes(name)
    })
    .map(path => ({
      path,
      line: 1,
      fault: 'No test names this example.',
      cure: 'Let a test read it by its name, so that it can not go stale, or remove it.',
    }))
}

const MAY_IMPORT = /^May import: .*$/m

/** The folders of the core with their page, and with the line that the page must have. */
function folderPages(tree: Tree): readonly { readonly page: string; readonly line: string }[] {
  const folders = new Set<string>()
  for (const path of tree.keys()) {
    const folder = /^packages\/core\/src\/([^/]+)\//.exec(path)?.[1]
    if (folder !== undefined) folders.add(folder)
  }
  return [...folders].flatMap(folder => {
    const rule = ruleFor(`core/${folder}/`)
    return rule === undefined
      ? []
      : [{ page: `packages/core/src/${folder}/README.md`, line: sayMayImport(rule) }]
  })
}

const foldersSayWhatTheyAre: Rule = tree =>
  folderPages(tree)
    .filter(({ page, line }) => MAY_IMPORT.exec(tree.get(page) ?? '')?.[0] !== line)
    .map(({ page, line }) =>
      tree.has(page)
        ? {
            path: page,
            line: 1,
            fault: `The page lacks the line: ${line}`,
            cure: 'Run npm run tidy -- --write.',
          }
        : {
            path: page,
            line: 1,
            fault: 'The folder does not say what it is.',
            cure: `Write three lines: what lives here; ${line} Read first: ...`,
          },
    )

const tableIsUsed: Rule = tree =>
  IMPORT_TABLE.filter(
    rule => ![...tree.keys()].some(path => `${unitOf(path) ?? ''}/`.startsWith(`${rule.unit}/`)),
  ).map(rule => ({
    path: 'scripts/import-table.ts',
    line: 1,
    fault: `The rule for ${rule.unit} covers no file.`,
    cure: 'Remove the rule, or correct its name.',
  }))

const linksLead: Rule = tree =>
  pages(tree).flatMap(([path, text]) =>
    [...text.matchAll(/\]\((?!\w+:|#)([^)\s#]+)(?:#[^)\s]*)?\)/g)]
      .filter(match => !leads(tree, posix.join(posix.dirname(path), match[1] ?? '')))
      .map(match => ({
        path,
        line: lineAt(text, match.index),
        fault: `The link to ${match[1]} leads nowhere.`,
        cure: 'Correct the path, counted from the folder of this page.',
      })),
  )

function leads(tree: Tree, target: string): boolean {
  const folder = `${target.replace(/\/$/, '')}/`
  return tree.has(target) || [...tree.keys()].some(path => path.startsWith(folder))
}

const scriptsExist: Rule = tree => {
  const path = 'package.json'
  const text = tree.get(path) ?? '{}'
  const scripts = (JSON.parse(text) as { scripts?: Record<string, string> }).scripts ?? {}
  const named = pages(tree).flatMap(([page, content]) =>
    [...content.matchAll(/\bnpm run ([a-z][\w:-]*)/g)]
      .filter(match => !Object.hasOwn(scripts, match[1] ?? ''))
      .map(match => ({
        path: page,
        line: lineAt(content, match.index),
        fault: `There is no script ${match[1]} in package.json.`,
        cure: `There are: ${Object.keys(scripts).join(', ')}.`,
      })),
  )
  const files = Object.entries(scripts).flatMap(([name, command]) =>
    [...command.matchAll(/\bnode (\S+\.ts)/g)]
      .filter(match => !tree.has(match[1] ?? ''))
      .map(match => ({
        path,
        line: lineAt(text, text.indexOf(`"${name}"`)),
        fault: `The script ${name} runs ${match[1]}, which does not exist.`,
        cure: 'Correct the path, or remove the script.',
      })),
  )
  return [...named, ...files]
}

const TABLE = /(<!-- import table[^>]*-->\n)([\s\S]*?)(\n<!-- end of import table -->)/

const architectureIsTrue: Rule = tree => {
  const path = 'ARCHITECTURE.md'
  const text = tree.get(path) ?? ''
  const match = TABLE.exec(text)
  if (match?.[2]?.trim() === printImportTable()) return []
  return [
    {
      path,
      line: match ? lineAt(text, match.index) : 1,
      fault: 'The import table is not the one of scripts/import-table.ts.',
      cure: 'Run npm run tidy -- --write.',
    },
  ]
}

export const RULES = {
  imports: findImportFaults,
  cycles: findCycles,
  tableIsUsed,
  bansInCore,
  longFiles,
  drawersOfOddsAndEnds,
  machinePaths,
  lockfile,
  registrySettings,
  examplesAreTested,
  foldersSayWhatTheyAre,
  linksLead,
  scriptsExist,
  architectureIsTrue,
} satisfies Record<string, Rule>

export function findFaults(tree: Tree): readonly Fault[] {
  return Object.values(RULES).flatMap(rule => rule(tree))
}

function sources(tree: Tree, under: string): readonly (readonly [string, string])[] {
  return [...tree].filter(([path]) => path.startsWith(under) && /\.(?:ts|svelte)$/.test(path))
}

function pages(tree: Tree): readonly (readonly [string, string])[] {
  return [...tree].filter(([path]) => path.endsWith('.md') && !isForeign(path))
}

function searchEverywhere(tree: Tree, pattern: RegExp, fault: string, cure: string): readonly Fault[] {
  return [...tree]
    .filter(([path]) => !isForeign(path))
    .flatMap(([path, text]) =>
      [...text.matchAll(pattern)].map(match => ({ path, line: lineAt(text, match.index), fault, cure })),
    )
}

/** Copies the import table to where it is told again. */
function writeImportTable(root: string, tree: Tree): void {
  const write = (path: string, change: (text: string) => string) => {
    const text = tree.get(path)
    if (text !== undefined) writeFileSync(join(root, path), change(text))
  }
  write('ARCHITECTURE.md', text =>
    text.replace(TABLE, (_, open: string, __, close: string) => `${open}${printImportTable()}${close}`),
  )
  for (const { page, line } of folderPages(tree)) write(page, text => text.replace(MAY_IMPORT, () => line))
}

function main(): void {
  const root = join(import.meta.dirname, '..')
  if (process.argv.includes('--write')) writeImportTable(root, readTree(root))
  const tree = readTree(root)
  const faults = findFaults(tree)
  for (const fault of faults) console.error(printFault(fault))
  console.log(
    faults.length === 0
      ? `tidy: ${tree.size} files keep the ${Object.keys(RULES).length} house rules.`
      : `tidy: ${faults.length} ${faults.length === 1 ? 'fault' : 'faults'} in ${tree.size} files.`,
  )
  if (faults.length > 0) process.exitCode = 1
}

if (import.meta.main) main()
