import { describe, expect, it } from 'vitest'
import { listImports, ruleFor, sayMayImport } from '../../scripts/imports.ts'
import { blankComments } from '../../scripts/source-text.ts'
import { RULES } from '../../scripts/tidy.ts'
import { printFault, type Tree } from '../../scripts/tree.ts'

/** A made-up project with one file of interest. */
function tree(files: Record<string, string>): Tree {
  return new Map(Object.entries(files))
}

function judge(rule: keyof typeof RULES, files: Record<string, string>): readonly string[] {
  return RULES[rule](tree(files)).map(printFault)
}

describe('source text', () => {
  it('blanks comments and keeps code, lines and offsets', () => {
    const source = "const a = 'x // y' // gone\n/* gone\n too */ const b = 1"
    const blanked = blankComments(source)
    expect(blanked).toHaveLength(source.length)
    expect(blanked).toContain("'x // y'")
    expect(blanked).not.toContain('gone')
    expect(blanked.split('\n')).toHaveLength(3)
  })

  it('blanks strings, templates and regular expressions when asked, but not the code inside a template', () => {
    const blanked = blankComments(
      "f('Date.now', /Date.now[/]/, `Date.now ${Math.random()} ${{ a: 1 }.a} Date.now`, 4 / 2)",
      true,
    )
    expect(blanked).not.toContain('Date.now')
    expect(blanked).toContain('Math.random()')
    expect(blanked).toContain('4 / 2')
  })

  it('survives what is never closed', () => {
    for (const source of ["'abc", '`abc ${', '/* abc', 'x = /abc', '"abc\\']) {
      expect(blankComments(source, true)).toHaveLength(source.length)
    }
  })
})

describe('imports', () => {
  it('finds every form, with its line and whether it is only types', () => {
    const found = listImports(
      [
        "import type { A } from './a.ts'",
        "import { type B, c } from './b.ts'",
        'import {',
        '  d,',
        "} from './d.ts'",
        "export { e } from './e.ts'",
        "export type { f } from './f.ts'",
        "import './g.ts'",
        "const h = await import('./h.ts')",
        "// import './not.ts'",
        "const text = 'no import from anywhere'",
      ].join('\n'),
    )
    expect(found.map(one => [one.specifier, one.typeOnly, one.line])).toEqual([
      ['./a.ts', true, 1],
      ['./b.ts', false, 2],
      ['./d.ts', false, 5],
      ['./e.ts', false, 6],
      ['./f.ts', true, 7],
      ['./g.ts', false, 8],
      ['./h.ts', false, 9],
    ])
  })

  it.each([
    ['packages/core/src/engine/advance.ts', "import { step } from '../world/heat.ts'"],
    ['packages/core/src/engine/advance.ts', "import type { Run } from '../rehearsal/result.ts'"],
    ['packages/core/src/engine/advance.ts', "import { readPlan } from '../plan/parse.ts'"],
    ['packages/core/src/world/heat.ts', "import { advance } from '../engine/advance.ts'"],
    ['packages/core/src/world/heat.ts', "import type { Step } from '../engine/stages.ts'"],
    ['packages/core/src/proof/proof.ts', "import { step } from '../world/heat.ts'"],
    ['packages/core/src/report/text.ts', "import { run } from '../rehearsal/run.ts'"],
    ['packages/core/src/formulas/gravity.ts', "import type { Plan } from '../plan/plan.ts'"],
    ['packages/core/src/finding.ts', "import type { Plan } from './plan/plan.ts'"],
    ['packages/core/src/plan/parse.ts', "import { readFileSync } from 'node:fs'"],
    ['packages/core/src/engine/advance.ts', "import { parse } from 'yaml'"],
    ['packages/core/src/plan/plan.ts', "import { main } from '../../../cli/src/main.ts'"],
    ['packages/core/src/plan/plan.test.ts', "import { main } from '../../../cli/src/main.ts'"],
    ['packages/core/src/drawer/a.ts', ''],
    ['packages/cli/src/main.ts', "import { readPlan } from '../../core/src/plan/parse.ts'"],
    ['packages/cli/src/main.ts', "import chalk from 'some-package'"],
  ])('refuses in %s: %s', (path, source) => {
    const faults = judge('imports', { [path]: source })
    expect(faults).toHaveLength(1)
    expect(faults[0]).toContain(`${path}:1: error: `)
  })

  it.each([
    ['packages/core/src/engine/advance.ts', "import type { Plan } from '../plan/plan.ts'"],
    ['packages/core/src/engine/advance.ts', "import { silenceAllowed_s } from '../vessel/timeout.ts'"],
    ['packages/core/src/engine/advance.test.ts', "import { step } from '../world/heat.ts'"],
    ['packages/core/src/engine/advance.test.ts', "import { it } from 'vitest'"],
    ['packages/core/src/world/heat.ts', "import type { Command } from '../engine/contract.ts'"],
    ['packages/core/src/report/text.ts', "import type { Risk } from '../rehearsal/result.ts'"],
    ['packages/core/src/source-text/read-yaml.ts', "import { parseDocument } from 'yaml'"],
    ['packages/core/src/beer/parse.ts', "import type { Place } from '../place.ts'"],
    ['packages/cli/src/main.ts', "import { readPlan } from '@attemper/core/plan/parse.ts'"],
    ['packages/cli/src/main.ts', "import { readFileSync } from 'node:fs'"],
  ])('allows in %s: %s', (path, source) => {
    expect(judge('imports', { [path]: source })).toEqual([])
  })
})

describe('cycles', () => {
  const files = (last: string) => ({
    'packages/core/src/plan/a.ts': "import { b } from './b.ts'",
    'packages/core/src/plan/b.ts': "import { c } from '../units/c.ts'",
    'packages/core/src/units/c.ts': last,
  })

  it('refuses files that need each other, and names the circle once', () => {
    const faults = judge('cycles', files("\nimport { a } from '../plan/a.ts'"))
    expect(faults).toHaveLength(1)
    expect(faults[0]).toContain('packages/core/src/units/c.ts:2: error: ')
    expect(faults[0]).toContain('a.ts -> b.ts -> c.ts -> a.ts')
  })

  it('allows types that refer to each other', () => {
    expect(judge('cycles', files("import type { A } from '../plan/a.ts'"))).toEqual([])
  })
})

describe('house rules', () => {
  const core = 'packages/core/src/plan/a.ts'

  it.each([
    'Date.now()',
    'new Date(0)',
    'Math.random()',
    "console.log('a')",
    'performance.now()',
    'setTimeout(f, 1)',
    'process.env.A',
    'value.toLocaleString()',
  ])('bans %s in the core', code => {
    expect(judge('bansInCore', { [core]: `const a = 1\nexport const b = () => ${code}` })[0]).toContain(
      `${core}:2: error: `,
    )
  })

  it('lets comments, strings and tests speak of what is banned', () => {
    const source = "// Date.now()\nexport const a = 'new Date()' + process.gain"
    expect(judge('bansInCore', { [core]: source })).toEqual([])
    expect(judge('bansInCore', { 'packages/core/src/plan/a.test.ts': 'Date.now()' })).toEqual([])
    expect(judge('bansInCore', { 'packages/cli/src/a.ts': 'Date.now()' })).toEqual([])
  })

  it('refuses 601 lines and allows 600', () => {
    expect(judge('longFiles', { [core]: 'a\n'.repeat(601) })).toHaveLength(1)
    expect(judge('longFiles', { [core]: 'a\n'.repeat(600) })).toEqual([])
  })

  it('refuses drawers of odds and ends', () => {
    expect(judge('drawersOfOddsAndEnds', { 'packages/core/src/plan/utils.ts': '' })).toHaveLength(1)
    expect(judge('drawersOfOddsAndEnds', { 'packages/core/src/plan/utilisation.ts': '' })).toEqual([])
  })

  it('refuses the paths of a machine', () => {
    const path = ['', 'work', 'main'].join('/')
    expect(judge('machinePaths', { 'README.md': `see ${path}` })).toHaveLength(1)
    expect(judge('machinePaths', { 'README.md': 'see docs/work/main' })).toEqual([])
  })

  it('refuses a lock file that says where to download from', () => {
    const outer = '"resolved": "https://packages.example/a.tgz"'
    expect(judge('lockfile', { 'package-lock.json': `{\n${outer}\n}` })[0]).toContain('package-lock.json:2:')
    expect(judge('lockfile', { 'package-lock.json': '"resolved": "packages/core"' })).toEqual([])
    expect(judge('registrySettings', { '.npmrc': 'registry=https://packages.example' })).toHaveLength(1)
  })

  it('refuses an example that no test names, and a folder without a page', () => {
    const files = { 'examples/ale.plan.yaml': '', 'test/a.test.ts': "read('ale.plan.yaml')" }
    expect(judge('examplesAreTested', files)).toEqual([])
    expect(judge('examplesAreTested', { ...files, 'examples/b.plan.yaml': '' })).toHaveLength(1)
    expect(judge('foldersSayWhatTheyAre', { [core]: '' })).toHaveLength(1)
    const page = 'packages/core/src/plan/README.md'
    const line = sayMayImport(ruleFor('core/plan/plan.ts')!)
    expect(line).toContain('source-text')
    expect(judge('foldersSayWhatTheyAre', { [core]: '', [page]: `# plan\n${line}\n` })).toEqual([])
    expect(judge('foldersSayWhatTheyAre', { [core]: '', [page]: '# plan\nMay import: all.\n' })).toHaveLength(
      1,
    )
  })

  it('refuses links and scripts that lead nowhere', () => {
    const page = (text: string) => ({
      'docs/a.md': text,
      'README.md': '',
      'package.json': '{"scripts":{"tidy":""}}',
    })
    expect(judge('linksLead', page('[x](../README.md#top) [y](https://example.org) [z](#here)'))).toEqual([])
    expect(judge('linksLead', page('[x](README.md)'))[0]).toContain(
      'docs/a.md:1: error: The link to README.md',
    )
    expect(judge('scriptsExist', page('npm run tidy'))).toEqual([])
    expect(judge('scriptsExist', page('npm run nothing'))).toHaveLength(1)
    const packageFile = '{\n"scripts":{"docs":"node scripts/docs.ts"}}'
    expect(judge('scriptsExist', { 'package.json': packageFile })[0]).toContain('package.json:2: error: ')
    expect(judge('scriptsExist', { 'package.json': packageFile, 'scripts/docs.ts': '' })).toEqual([])
  })

  it('refuses an import table in ARCHITECTURE.md that is not the real one', () => {
    const text = '<!-- import table -->\n| a |\n<!-- end of import table -->'
    expect(judge('architectureIsTrue', { 'ARCHITECTURE.md': text })).toHaveLength(1)
  })
})
