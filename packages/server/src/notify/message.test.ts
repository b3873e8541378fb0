import { ALARM_KINDS } from '@attemper/core/alarms/catalogue.ts'
import { describe, expect, it } from 'vitest'
import { composeMessage, testMessage } from './message.ts'
import { alarmChange, EVENING_MS } from './testing/alarm-changes.ts'

const CONTEXT = { link: 'https://cellar.example', localOffset_s: 3600 }

describe('a message', () => {
  it('says in one sentence what is so, then why, what to do, where and when', () => {
    expect(composeMessage(alarmChange('raised', 'limit-broken'), 'raised', CONTEXT)).toEqual({
      kind: 'raised',
      priority: 'high',
      at_ms: EVENING_MS,
      subject: 'Garage, Amber: the beer is warmer than the highest limit.',
      text: `Why: The beer is beyond the plan's limits.
What to do: Look at the vessel: is the probe in the beer, does an appliance run that should not, is the door shut?
Where: vessel Garage, batch Amber (2026-11-20-amber)
When: 24 November 2026 at 21:00, local time (UTC+1)
Priority: high
More: https://cellar.example/#/batch/2026-11-20-amber
`,
      alarm: { id: 1, code: 'limit-broken', subject: 'highest' },
      vessel: 'Garage',
      batch: '2026-11-20-amber',
      link: 'https://cellar.example/#/batch/2026-11-20-amber',
    })
  })

  it('puts a question of the plan to whoever reads it', () => {
    const asked = alarmChange('raised', 'question-open', {
      subject: '3',
      detail: 'may Rest end? “Tasted it?”',
    })
    const { subject, text } = composeMessage(asked, 'raised', CONTEXT)
    expect(subject).toBe('Garage, Amber: the plan asks: may Rest end? “Tasted it?”')
    expect(text).toContain('\nQuestion: may Rest end? “Tasted it?”\n')
  })

  it('about the cellar names no vessel, and one without a link has none', () => {
    const full = alarmChange('raised', 'storage-trouble', { place: null, detail: 'disk full' })
    const { subject, text, link } = composeMessage(full, 'raised', { link: null, localOffset_s: -12_600 })
    expect(subject).toBe('Records can not be written, or are damaged.')
    expect(text).toContain('In detail: disk full\n')
    expect(text).toContain('When: 24 November 2026 at 16:30, local time (UTC−3:30)\n')
    expect(text).not.toContain('More:')
    expect(link).toBeNull()
  })

  it('says that something is over, without telling what to do', () => {
    const { subject, text } = composeMessage(alarmChange('returned', 'limit-broken'), 'over', CONTEXT)
    expect(subject).toBe('Over: Garage, Amber: the beer is warmer than the highest limit.')
    expect(text).not.toContain('What to do')
  })

  it('keeps to one line whatever a name or a device says, and to a length', () => {
    const place = { batch: 'b', vessel: 'A\r\nBcc: x@example.org', name: '\u2028N\u0000' }
    const { subject, text } = composeMessage(
      alarmChange('raised', 'appliance-unreachable', {
        subject: `heater${'r'.repeat(500)}`,
        place,
        detail: 'a\nb',
      }),
      'raised',
      CONTEXT,
    )
    expect(subject).toMatch(/^A Bcc: x@example.org, N: the heaterr+…$/)
    expect(subject).toHaveLength(200)
    expect(text).toContain('\nIn detail: a b\n')
  })

  it.each(ALARM_KINDS.map(({ code }) => code))('%s is told whole', code => {
    const { subject, text } = composeMessage(alarmChange('raised', code, { subject: 'x' }), 'raised', CONTEXT)
    expect(subject).toMatch(/^Garage, Amber: [^\n]+[.?]$/)
    for (const begin of ['Why: ', 'What to do: ', 'Where: ', 'When: '])
      expect(text).toMatch(new RegExp(`^${begin}\\S`, 'm'))
    expect(`${subject}${text}`).not.toMatch(/undefined|null|NaN|\[object/)
  })

  it('for a test says that nothing needs to be done', () => {
    expect(testMessage(EVENING_MS, CONTEXT)).toMatchObject({ kind: 'test', alarm: null })
    expect(testMessage(EVENING_MS, CONTEXT).text).toContain('nothing needs to be done')
  })
})
