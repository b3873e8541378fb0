import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { UsageError } from '../exit-status.ts'
import { builtPage } from './built-page.ts'
import { escapeHtml, escapeJson, escapeScript } from './escape.ts'
import { rehearsalPage } from './page.ts'
import { madeUpPage } from './testing/made-up-page.ts'

const built = await builtPage()

/** Without what scripts and styles are made of. */
function markupOf(html: string): string {
  return html.replace(/<(script|style)[^>]*>[\s\S]*?<\/\1>/g, '<$1></$1>')
}

function scripts(html: string): { readonly opening: string; readonly body: string }[] {
  return [...html.matchAll(/<script([^>]*)>([\s\S]*?)<\/script>/g)].map(([, opening, body]) => ({
    opening: opening!,
    body: body!,
  }))
}

describe('the page of a rehearsal', () => {
  const html = rehearsalPage(madeUpPage(), built)
  const markup = markupOf(html)

  test('fetches nothing', () => {
    expect(html).toContain("default-src 'none'")
    expect(markup).not.toMatch(/<(link|img|iframe)\b/)
    expect(markup).not.toMatch(/\b(src|href)\s*=/)
    expect(built.style).not.toMatch(/@import|url\((?!data:)/)
  })

  test('carries the licences of the works that stand in it', () => {
    for (const work of ['svelte', 'uplot']) expect(markup).toMatch(new RegExp(`## ${work} [\\d.]+ \\(MIT\\)`))
    expect(markup.match(/Permission is hereby granted/g)!.length).toBeGreaterThanOrEqual(2)
  })

  test('holds its data, and one script that is whole without modules', () => {
    const [data, script, ...more] = scripts(html)
    expect(more).toEqual([])
    const { result, nominal } = JSON.parse(data!.body)
    expect(result.overTime.time_h).toHaveLength(madeUpPage().result.overTime.time_h.length)
    expect(nominal.transitions.map(({ stage }: { stage: string }) => stage)).toEqual([
      'Primary',
      'Warm finish',
      'Crash',
    ])
    expect(script!.opening).toBe('')
    expect(() => new Function(script!.body)).not.toThrow()
    expect(() => new Function(`${script!.body}; import.meta`)).toThrow(SyntaxError)
    expect(script!.body).not.toMatch(/\bimport\s*\(/)
  })

  test('says everything in words too, before any script runs', () => {
    expect(markup).toMatch(/<h1[^>]*>Probably ready to package after 15 days/)
    const charts = [...markup.matchAll(/role="img" tabindex="0" aria-label="([^"]+)"/g)]
    expect(charts).toHaveLength(4)
    for (const [, label] of charts) expect(label!.length).toBeGreaterThan(40)
    expect(markup.match(/The figures of this chart/g)!.length).toBeGreaterThanOrEqual(3)
    expect(markup).toContain('In 12 % of runs the beer is chilled before it has finished.')
    expect(markup).toContain('Float goes silent')
    expect(markup).toContain('Warm finish')
    expect(markup).toContain("attemper rehearse 'a plan.yaml' --seed 1")
    expect(markup).toMatch(/<noscript>/)
  })

  test('names from files can not become markup', () => {
    const evil = '</script><img onerror=alert(1)>"\u2028<!--<script>'
    const input = madeUpPage()
    const first = { ...input.result.stages[0]!, stage: evil }
    const page = rehearsalPage(
      { ...input, result: { ...input.result, plan: evil, stages: [first] }, command: evil },
      built,
    )
    expect(page).not.toContain('<img')
    expect(scripts(page)).toHaveLength(2)
    expect(JSON.parse(scripts(page)[0]!.body).result.stages[0].stage).toBe(evil)
  })

  test('of a hot side has no gravity and no path', () => {
    const page = markupOf(rehearsalPage(madeUpPage({ side: 'hot side' }), built))
    expect(page).not.toContain('The path')
    expect(page).not.toContain('Specific gravity')
    expect(page).toContain('Temperature of the kettle')
  })

  test('speaks the units that are wanted', () => {
    const input = madeUpPage()
    const page = markupOf(
      rehearsalPage({ ...input, units: { ...input.units, temperature: 'F', gravity: 'P' } }, built),
    )
    expect(page).toContain('Apparent extract, °P')
    // 18 °C = 64.4 °F at the beginning of the median.
    expect(page).toContain('the median begins at 64.4 °F')
    expect(page).not.toMatch(/°C/)
  })

  test('that was not built is missed with its cure', async () => {
    const empty = mkdtempSync(join(tmpdir(), 'attemper-page-'))
    await expect(builtPage(empty)).rejects.toThrow(UsageError)
    await expect(builtPage(empty)).rejects.toThrow('npm run build')
    rmSync(empty, { recursive: true })
  })
})

test('escaping', () => {
  expect(escapeHtml(`<a href="x">'&'</a>`)).toBe('&lt;a href=&quot;x&quot;&gt;&#39;&amp;&#39;&lt;/a&gt;')
  const text = '</script>\u2028'
  expect(JSON.parse(escapeJson(JSON.stringify({ text })))).toEqual({ text })
  expect(escapeJson(JSON.stringify(text))).not.toContain('<')
  const script = 'const parts = ["</script>", `<!--`, "<SCRIPT", "<p>"]'
  expect(escapeScript(script)).not.toMatch(/<(?!p>)/)
  expect(new Function(`${escapeScript(script)}; return parts`)()).toEqual([
    '</script>',
    '<!--',
    '<SCRIPT',
    '<p>',
  ])
})
