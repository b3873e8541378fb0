import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { main } from '../main.ts'
import { memoryIo } from '../testing/memory-io.ts'

const recorded = (name: string) =>
  fileURLToPath(new URL(`../../../../test/published/data/recorded/${name}.csv`, import.meta.url))

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-fit-'))
})
afterAll(() => rmSync(folder, { recursive: true }))

async function fit(...words: string[]) {
  const io = memoryIo({ folder })
  const status = await main(['fit', ...words], io)
  return { status, ...io.written }
}

describe('a yeast that is fitted to a record', () => {
  it('attenuates as the pilot ale did, within an interval that holds it', async () => {
    const { status, out } = await fit(recorded('modern/pilot2025-tank-22C-ale-a'), '--json')
    expect(status).toBe(0)
    const { attenuation, half_h, final_gravity } = JSON.parse(out)
    expect(attenuation.p5).toBeLessThan(0.8)
    expect(attenuation.p95).toBeGreaterThan(0.8)
    expect(attenuation.p95 - attenuation.p5).toBeLessThan(0.08)
    expect(half_h.p50).toBeGreaterThan(35)
    expect(half_h.p50).toBeLessThan(65)
    expect(final_gravity.p50).toBeCloseTo(1.0104, 2)
  })

  it('is said as a table, the same each time, with what other yeasts do beside it', async () => {
    const file = recorded('hansen1879-2-aerated')
    const [first, second] = [await fit(file), await fit(file)]
    expect(first.out).toBe(second.out)
    expect(first.out).toContain('6 gravities over 60 h')
    expect(first.out).toMatch(/Attenuation +\d+ % \(\d+ to \d+\) +\d+ % \(\d+ to \d+\)/)
    expect(first.out).toContain('Without temperatures')
  })

  it.each([
    ['id,og\n1,1.05\n', 'no column time_h'],
    ['time_h,gravity\n0,1.05\n5,1.04\n', 'at least 4 are needed'],
  ])('is refused where there is too little, with the reason', async (text, reason) => {
    writeFileSync(join(folder, 'odd.csv'), text)
    const { status, err } = await fit('odd.csv')
    expect(status).toBe(2)
    expect(err).toContain(reason)
  })
})
