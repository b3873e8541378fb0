import { gravityScale } from '@attemper/core/report/display-scale.ts'
import { madeUpRehearsal } from '@attemper/core/report/testing/made-up-rehearsal.ts'
import { describe, expect, test } from 'vitest'
import { escapeHtml, escapeJson } from './escape.ts'
import { rehearsalPage } from './page.ts'

const options = {
  units: { temperature: 'C', gravity: 'SG', volume: 'L' },
  start: { text: '2026-12-04T18:00', local_s: Date.UTC(2026, 11, 4, 18) / 1000 },
  command: "attemper rehearse 'a plan.yaml' --seed 1",
  version: '0.1.0',
} as const

function scripts(html: string): { readonly opening: string; readonly body: string }[] {
  return [...html.matchAll(/<script([^>]*)>([\s\S]*?)<\/script>/g)].map(([, opening, body]) => ({
    opening: opening!,
    body: body!,
  }))
}

describe('the page of a rehearsal', () => {
  const html = rehearsalPage(madeUpRehearsal(), options)

  test('fetches nothing', () => {
    expect(html).toContain("default-src 'none'")
    expect(html).not.toMatch(/<(link|img|iframe)\b/)
    expect(html).not.toMatch(/\b(src|href)\s*=\s*["']/)
    expect(html).not.toMatch(/@import|url\((?!data:)/)
  })

  test('holds its data, the library and a script that is whole without modules', () => {
    const [data, library, script] = scripts(html)
    const { time_h, path, stages } = JSON.parse(data!.body)
    expect(time_h).toHaveLength(madeUpRehearsal().overTime.time_h.length)
    expect(path.x).toEqual([...path.x].sort((one: number, other: number) => one - other))
    expect(stages.map((stage: { name: string }) => stage.name)).toEqual(['Primary', 'Warm finish', 'Crash'])
    expect(library!.body).toContain('uPlot')
    expect(script!.body).not.toMatch(/^\s*(import|export)\b/m)
    expect(() => new Function(script!.body)).not.toThrow()
  })

  test('the path turns with its fan when gravity is put in ascending order', () => {
    const [data] = scripts(html)
    const { path } = JSON.parse(data!.body)
    const rehearsal = madeUpRehearsal()
    const lowest = rehearsal.path.gravity.length - 1
    expect(path.x[0]).toBeCloseTo(gravityScale(options.units).of(rehearsal.path.gravity[lowest]!), 5)
    expect(path.fan.p50[0]).toBeCloseTo(rehearsal.path.beer_C.p50[lowest]!, 3)
  })

  test('says everything in words too: the sentence, a text for each chart, its figures in a table', () => {
    expect(html).toMatch(/<h1>Probably ready to package after 15\u00a0days/)
    const charts = [...html.matchAll(/id="chart-(\w+)" role="img" tabindex="0" aria-label="([^"]+)"/g)]
    expect(charts.map(chart => chart[1])).toEqual(['temperature', 'shares', 'gravity', 'path'])
    for (const chart of charts) expect(chart[2]!.length).toBeGreaterThan(40)
    expect(html.match(/<details>/g)).toHaveLength(3)
  })

  test('names from files can not become markup', () => {
    const evil = '</script><img onerror=alert(1)>"\u2028'
    const first = { ...madeUpRehearsal().stages[0]!, stage: evil }
    const page = rehearsalPage(madeUpRehearsal({ plan: evil, stages: [first] }), options)
    expect(page).not.toContain('<img')
    expect(scripts(page)).toHaveLength(3)
    expect(JSON.parse(scripts(page)[0]!.body).stages[0].name).toBe(evil)
  })

  test('of a hot side has no gravity and no path', () => {
    const page = rehearsalPage(madeUpRehearsal({ side: 'hot side' }), options)
    expect(page).not.toContain('id="chart-gravity"')
    expect(page).not.toContain('id="chart-path"')
  })

  test('speaks the units that are wanted', () => {
    const page = rehearsalPage(madeUpRehearsal(), {
      ...options,
      units: { temperature: 'F', gravity: 'P', volume: 'L' },
    })
    expect(page).toContain('Apparent extract, °P')
    // 18 °C = 64.4 °F at the beginning of the median.
    expect(JSON.parse(scripts(page)[0]!.body).temperature.p50[0]).toBeCloseTo(64.4, 0)
    expect(page).not.toMatch(/°C/)
  })
})

test('escaping', () => {
  expect(escapeHtml(`<a href="x">'&'</a>`)).toBe('&lt;a href=&quot;x&quot;&gt;&#39;&amp;&#39;&lt;/a&gt;')
  expect(JSON.parse(escapeJson({ a: '</script>\u2028' }))).toEqual({ a: '</script>\u2028' })
  expect(escapeJson('</script>')).not.toContain('<')
})
