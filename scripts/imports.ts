import { posix } from 'node:path'
import { COMMON, IMPORT_TABLE, type ImportRule } from './import-table.ts'
import { blankComments } from './source-text.ts'
import { type Fault, lineAt, type Tree } from './tree.ts'

export interface Import {
  readonly specifier: string
  /** Nothing of it is left at run time. */
  readonly typeOnly: boolean
  readonly line: number
}

const STATEMENT =
  /^[ \t]*(?:import|export)\b(?<what>[^'"`;]*?(?:\bfrom\s*|(?<=import)\s*))(?<quote>['"])(?<specifier>[^'"]+)\k<quote>/gm
const DYNAMIC = /\bimport\s*\(\s*(?<quote>['"])(?<specifier>[^'"]+)\k<quote>/g

/** All imports and re-exports of a source text. */
export function listImports(source: string): readonly Import[] {
  const code = blankComments(source)
  const found: Import[] = []
  for (const match of code.matchAll(STATEMENT)) {
    const what = match.groups?.what ?? ''
    found.push({
      specifier: match.groups?.specifier ?? '',
      typeOnly: /^\s+type\b(?!\s*,|\s+from)/.test(what),
      line: lineAt(code, match.index + match[0].length),
    })
  }
  for (const match of code.matchAll(DYNAMIC)) {
    const specifier = match.groups?.specifier ?? ''
    found.push({ specifier, typeOnly: false, line: lineAt(code, match.index) })
  }
  return found
}

/** The rule for a file of packages/{name}/src; undefined: no rule covers it. `unit` is its path without `packages/` and `src/`. */
export function ruleFor(unit: string): ImportRule | undefined {
  return IMPORT_TABLE.filter(rule => within(unit, rule.unit)).sort((a, b) => b.unit.length - a.unit.length)[0]
}

function within(unit: string, folder: string): boolean {
  return unit === folder || unit.startsWith(`${folder}/`)
}

/** `packages/core/src/plan/plan.ts` -> `core/plan/plan.ts`; undefined outside the packages' sources. */
export function unitOf(path: string): string | undefined {
  const match = /^packages\/([^/]+)\/src\/(.+)$/.exec(path)
  return match ? `${match[1]}/${match[2]}` : undefined
}

const OUR_PREFIX = '@attemper/'

/** The unit that a specifier means; undefined: a package from outside, or nothing of ours. */
function unitMeant(specifier: string, path: string): string | undefined {
  if (specifier.startsWith(OUR_PREFIX)) return specifier.slice(OUR_PREFIX.length)
  if (!specifier.startsWith('.')) return undefined
  const target = posix.join(posix.dirname(path), specifier)
  return unitOf(target) ?? target
}

export function isTest(path: string): boolean {
  return /\.test\.ts$|\/testing\//.test(path)
}

/** Judges every import in the packages against the table. Tests may use any part of their own package, and the core. */
export function findImportFaults(tree: Tree): readonly Fault[] {
  const faults: Fault[] = []
  for (const [path, source] of tree) {
    const unit = unitOf(path)
    if (unit === undefined || !/\.(?:ts|svelte)$/.test(path)) continue
    const rule = ruleFor(unit)
    if (rule === undefined) {
      faults.push({
        path,
        line: 1,
        fault: `No rule says what ${unit} may import.`,
        cure: 'Move the file to a folder of the table, or add a rule for its folder to scripts/import-table.ts.',
      })
      continue
    }
    for (const found of listImports(source)) {
      const fault = judge(path, unit, rule, found)
      if (fault !== undefined) faults.push({ path, line: found.line, ...fault })
    }
  }
  return faults
}

type Verdict = Pick<Fault, 'fault' | 'cure'> | undefined

function judge(path: string, unit: string, rule: ImportRule, found: Import): Verdict {
  const meant = unitMeant(found.specifier, path)
  const named = `'${found.specifier}'`
  if (meant === undefined) {
    if (isTest(path) || allowsPackage(rule, found.specifier)) return undefined
    const allowed = rule.packages.length === 0 ? 'no package' : `only ${rule.packages.join(', ')}`
    return {
      fault: `${rule.unit} may import ${allowed} from outside, but this imports ${named}.`,
      cure: rule.instead,
    }
  }
  const home = unit.slice(0, unit.indexOf('/') + 1)
  if (isTest(path)) {
    if (home !== 'core/' || !meant.startsWith('cli/')) return undefined
    return {
      fault: `A test of the core imports ${named}.`,
      cure: 'The core never imports the command line, not even in tests: move the test to packages/cli.',
    }
  }
  if (found.specifier.startsWith('.') && !meant.startsWith(home)) {
    return {
      fault: `${named} leads out of the package.`,
      cure: `Write '${OUR_PREFIX}core/...' or '${OUR_PREFIX}server/...'.`,
    }
  }
  const values = [...rule.may, ...(isCommonRule(rule) ? [] : COMMON)]
  if (values.some(folder => within(meant, folder))) return undefined
  if (rule.typesOf.some(folder => within(meant, folder))) {
    if (found.typeOnly) return undefined
    return {
      fault: `${rule.unit} may import only types from ${named}.`,
      cure: `Write \`import type\`. If a value is needed: ${rule.instead}`,
    }
  }
  return { fault: `${rule.unit} may not import ${named}.`, cure: rule.instead }
}

function isCommonRule(rule: ImportRule): boolean {
  return (COMMON as readonly string[]).includes(rule.unit)
}

function allowsPackage(rule: ImportRule, specifier: string): boolean {
  return rule.packages.some(name =>
    /[:/]$/.test(name) ? specifier.startsWith(name) : specifier === name || specifier.startsWith(`${name}/`),
  )
}

/** The line of a folder's README that says what it may import. */
export function sayMayImport(rule: ImportRule): string {
  const short = (names: readonly string[]) => names.map(name => name.replace(/^core\//, '')).join(', ')
  const values = rule.may.filter(name => name !== rule.unit)
  const parts = [
    values.length > 0 ? short(values) : 'nothing of the core',
    ...(isCommonRule(rule) ? [] : [`what everybody may (${short(COMMON)})`]),
    ...(rule.typesOf.length > 0 ? [`types of ${short(rule.typesOf)}`] : []),
    ...(rule.packages.length > 0 ? [`from outside ${rule.packages.join(', ')}`] : []),
  ]
  return `May import: ${parts.join('; ')}.`
}

/** The table as it stands in ARCHITECTURE.md. */
export function printImportTable(): string {
  const list = (names: readonly string[]) => (names.length === 0 ? '-' : names.join(', '))
  const own = (rule: ImportRule) => rule.may.filter(name => name !== rule.unit)
  return [
    `Everybody may import ${COMMON.join(', ')}.`,
    '',
    '| part | may import | only types of | from outside |',
    '| --- | --- | --- | --- |',
    ...IMPORT_TABLE.map(
      rule => `| ${rule.unit} | ${list(own(rule))} | ${list(rule.typesOf)} | ${list(rule.packages)} |`,
    ),
  ].join('\n')
}
