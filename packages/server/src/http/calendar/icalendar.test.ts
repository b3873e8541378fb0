import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { judge } from '../../../../../test/judge-all.ts'
import { startBatch, startTestServer } from '../testing/test-server.ts'
import { escapeText, fold, printCalendar, printDuration } from './icalendar.ts'

/** Vectors after RFC 5545; see test/published/data/README.md. */
const VECTORS = JSON.parse(
  readFileSync(new URL('../../../../../test/published/data/calendar-metrics.json', import.meta.url), 'utf8'),
).icalendar as {
  readonly durations_seconds: Readonly<Record<string, number>>
  readonly invalid: readonly string[]
  readonly text_escape: readonly (readonly [string, string])[]
  readonly fold: { readonly max_octets_excluding_crlf: number }
  readonly minimal: string
}

/** A reader of the grammar of section 3.3.6, written for the tests. */
function readDuration(text: string): number | null {
  const found =
    /^([+-])?P(?:(\d+)W|(?=.)(?:(\d+)D)?(?:T(?=\d)(?:(\d+)H(?:(\d+)M(?:(\d+)S)?)?|(\d+)M(?:(\d+)S)?|(\d+)S))?)$/.exec(
      text,
    )
  if (found === null) return null
  const [weeks, days, hours, m1, s1, m2, s2, s3] = found.slice(2).map(part => Number(part ?? 0))
  const size = weeks! * 604_800 + days! * 86_400 + hours! * 3600 + (m1! + m2!) * 60 + s1! + s2! + s3!
  return found[1] === '-' ? -size : size
}

function unfold(text: string): string[] {
  return text.replaceAll(/\r\n[ \t]/g, '').split('\r\n')
}

describe('durations', () => {
  test('the reader of the tests agrees with the vectors, and what is written is read back', ({ task }) => {
    for (const [text, duration_s] of Object.entries(VECTORS.durations_seconds)) {
      expect([text, readDuration(text)]).toEqual([text, duration_s])
      expect(readDuration(printDuration(duration_s))).toBe(duration_s)
    }
    for (const text of VECTORS.invalid) expect([text, readDuration(text)]).toEqual([text, null])
    expect(printDuration(1_314_020)).toBe('P15DT5H0M20S')
    judge(task, {}, [fc.integer({ min: -1e8, max: 1e8 })], duration_s => {
      expect(readDuration(printDuration(duration_s))).toBe(duration_s)
    })
  })
})

test('text is escaped as in the vectors, and holds no control characters', () => {
  for (const [plain, escaped] of VECTORS.text_escape) expect(escapeText(plain)).toBe(escaped)
  expect(escapeText('a\r\nb\u0007c')).toBe('a\\nb c')
})

test('lines are folded at 75 octets, no character is cut, and nothing is lost', ({ task }) => {
  const most = VECTORS.fold.max_octets_excluding_crlf
  judge(
    task,
    { examples: [['ä'.repeat(200)], ['🍺'.repeat(100)], ['x'.repeat(67)], ['x'.repeat(68)]] },
    [fc.string({ unit: 'grapheme', maxLength: 400 })],
    text => {
      const line = `SUMMARY:${escapeText(text)}`
      const folded = fold(line)
      for (const part of folded.split('\r\n')) expect(Buffer.byteLength(part)).toBeLessThanOrEqual(most)
      expect(unfold(folded)).toEqual([line])
      expect(folded).not.toContain('\uFFFD')
    },
  )
})

test('the calendar has what the smallest one of the vectors has, in the same order', () => {
  const wanted = unfold(VECTORS.minimal).map(line => line.split(':', 1)[0])
  const event = {
    uid: 'step-1@example.invalid',
    from_ms: 0,
    duration_s: 259_200,
    summary: 'Hold',
    description: '',
  }
  const written = unfold(printCalendar('x', [event], 0)).map(line => line.split(':', 1)[0])
  expect(written.filter(name => wanted.includes(name))).toEqual(wanted)
  expect(printCalendar('x', [event], 0)).toContain(
    'DTSTART:19700101T000000Z\r\nDURATION:P3D\r\nSUMMARY:Hold\r\n',
  )
})

describe('the feed of a batch', () => {
  test('holds the expected transitions, with the same names each time', async () => {
    const hour = 3_600_000
    const server = await startTestServer({
      parts: {
        forecast: view => [
          { from: 'primary', to: 'warm rest', at_ms: view.now_ms + 30 * hour },
          {
            from: 'warm rest',
            to: null,
            at_ms: view.now_ms + 90 * hour,
            earliest_ms: view.now_ms + 80 * hour,
            latest_ms: view.now_ms + 100 * hour,
          },
        ],
      },
    })
    const id = startBatch(server)
    const answer = await server.app.inject(`/batches/${id}/calendar.ics`)
    expect(answer.headers['content-type']).toBe('text/calendar; charset=utf-8')
    const lines = unfold(answer.body)
    expect(lines.filter(line => line.startsWith('SUMMARY:'))).toEqual([
      'SUMMARY:Amber ale: started in Bucket with a heating pad',
      'SUMMARY:Amber ale: primary → warm rest',
      'SUMMARY:Amber ale: complete',
    ])
    expect(lines).toContain('DTSTART:20261126T021500Z')
    expect(lines.find(line => line.includes('nine chances'))).toContain(
      'Between 28 November 2026\\, 04:15 and 29 November 2026\\, 00:15 with nine chances in ten.',
    )
    server.clock.pass(hour)
    const uids = (text: string) => unfold(text).filter(line => line.startsWith('UID:'))
    const again = await server.app.inject(`/batches/${id}/calendar.ics`)
    expect(uids(again.body)).toEqual(uids(answer.body))
    expect(new Set(uids(again.body)).size).toBe(3)
  })

  test('of a batch that is held says of each transition that it is expected if resumed now', async () => {
    const server = await startTestServer({
      parts: {
        forecast: ({ now_ms }) => [
          { from: 'primary', to: null, at_ms: now_ms + 3_600_000, assumes: 'resumed now' },
        ],
      },
    })
    const id = startBatch(server)
    const lines = unfold((await server.app.inject(`/batches/${id}/calendar.ics`)).body)
    expect(lines).toContain('SUMMARY:Amber ale: complete (if resumed now)')
    expect(lines.find(line => line.includes('is held'))).toContain('this is if it is resumed now')
    const expected = await server.app.inject(`/batches/${id}/expected`)
    expect(expected.json()).toMatchObject([{ to: null, assumes: 'resumed now' }])
  })

  test('without a forecast says only what is known; an unknown batch is 404', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    const { body } = await server.app.inject(`/batches/${id}/calendar.ics`)
    expect(body.match(/BEGIN:VEVENT/g)?.length).toBe(1)
    expect((await server.app.inject('/batches/b9/calendar.ics')).statusCode).toBe(404)
  })
})
