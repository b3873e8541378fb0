import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { RULES } from '@attemper/core/proof/rules.ts'
import { READER_CODES } from '@attemper/core/source-text/finding-codes.ts'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { makePages, stalePages } from '../../scripts/docs.ts'

const ROOT = join(import.meta.dirname, '../..')
const pages = makePages()

describe('the reference pages', () => {
  it('are what their sources say', () => {
    expect(stalePages(pages, ROOT)).toEqual([])
  })

  it('are noticed when they are not, or are missing', () => {
    const changed = new Map(pages).set('docs/reference/plan.md', 'something else')
    expect(stalePages(changed, ROOT)).toEqual(['docs/reference/plan.md'])
    const nowhere = mkdtempSync(join(tmpdir(), 'attemper-docs-'))
    expect(stalePages(pages, nowhere)).toEqual([...pages.keys()])
    rmSync(nowhere, { recursive: true })
  })

  it.each([...pages].filter(([path]) => path.endsWith('.md')))('%s links to its own sections', (_, text) => {
    const anchors = [...text.matchAll(/^#+ (.*)$/gm)].map(([, heading]) =>
      heading!.toLowerCase().replaceAll(',', '').replaceAll(' ', '-'),
    )
    expect(new Set(anchors).size).toBe(anchors.length)
    const links = [...text.matchAll(/\]\(#([^)]*)\)/g)].map(([, target]) => target!)
    expect(links.filter(target => !anchors.includes(target))).toEqual([])
  })

  it('name each code once', () => {
    const text = pages.get('docs/reference/findings.md')!
    const codes = [...Object.keys(READER_CODES), ...RULES.map(({ code }) => code)]
    expect(new Set(codes).size).toBe(codes.length)
    for (const code of codes) {
      expect(
        text.split('\n').filter(line => line.startsWith(`| \`${code}\` |`) || line === `### ${code}`),
      ).toHaveLength(1)
    }
  })
})

describe('the JSON Schemas', () => {
  const schemas = {
    plan: 'examples/amber-ale.plan.yaml',
    vessel: 'examples/garage-fridge.vessel.yaml',
    beer: 'examples/amber-ale.beer.yaml',
    notify: 'examples/notify.yaml',
  }
  it.each(Object.entries(schemas))('of a %s accepts %s and refuses an unknown word', (name, example) => {
    const schema = JSON.parse(pages.get(`docs/reference/${name}.schema.json`)!) as object
    const validate = new Ajv2020({ strict: true, strictRequired: false, allowUnionTypes: true }).compile(
      schema,
    )
    const data = parse(readFileSync(join(ROOT, example), 'utf8')) as object
    validate(data)
    expect(validate.errors).toBeNull()
    expect(validate({ ...data, 'no such word': 1 })).toBe(false)
  })
})
