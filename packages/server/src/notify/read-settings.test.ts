import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { readSettings } from './read-settings.ts'

const WHOLE = `# Who is told
link: https://cellar.example/
channels:
  - channel: mail
    e-mail: { server: mail.example.org, user: cellar, password: "two  spaces: #1", from: cellar@example.org }
  - channel: house
    webhook: { url: "https://example.org/in?x=1", secret: wet barley sack, timeout: 5 s }
  - channel: bell
    mqtt: { topic: attemper/alarms }
tell:
  - who: Kim
    by: mail
    to: kim@example.org
    from priority: medium
    quiet hours: { from: 22:00, to: 07:00 }
  - { who: Sam, by: house, from priority: high, when over: false }
  - { who: Sam, by: bell }
`

/** The faulty part stands between « and »; code and place of the finding are checked. */
const FAULTS: readonly (readonly [string, string])[] = [
  ['wrong-type', '«just words»'],
  ['unknown-key', '«chanels»: []'],
  ['missing-key', 'channels: [ «{ channel: a }» ]'],
  ['missing-key', 'channels: [ { channel: a, e-mail: «{ server: a.example }» } ]'],
  [
    'conflicting-keys',
    'channels: [ { channel: a, mqtt: { topic: a }, «webhook»: { url: "https://a.example" } } ]',
  ],
  ['bad-name', 'channels: [ { channel: a, mqtt: { topic: a } }, { channel: «a», mqtt: { topic: b } } ]'],
  ['bad-name', 'channels: [ { channel: a, mqtt: { topic: «a/#» } } ]'],
  ['bad-name', 'channels: [ { channel: a, mqtt: { topic: «$SYS/a» } } ]'],
  ['bad-name', 'channels: [ { channel: a, webhook: { url: «ftp://a.example» } } ]'],
  ['bad-name', 'channels: [ { channel: a, webhook: { url: «javascript:alert(1)» } } ]'],
  ['bad-name', 'channels: [ { channel: a, webhook: { url: «https://me:pw@a.example» } } ]'],
  ['bad-name', 'channels: [ { channel: a, e-mail: { server: «a b», from: a@b.example } } ]'],
  ['bad-name', 'channels: [ { channel: a, e-mail: { server: b.example, from: «nobody» } } ]'],
  [
    'bad-name',
    'channels: [ { channel: a, e-mail: { server: b.example, from: «"a@b.example\\r\\nBcc: c@d.example"» } } ]',
  ],
  ['missing-value', 'channels: [ { channel: a, mqtt: { topic: «""» } } ]'],
  ['out-of-range', 'channels: [ { channel: a, webhook: { url: "https://a.example", timeout: «5 min» } } ]'],
  [
    'out-of-range',
    'channels: [ { channel: a, e-mail: { server: b.example, from: a@b.example, port: «25.5» } } ]',
  ],
  [
    'out-of-range',
    'channels: [ { channel: a, e-mail: { server: b.example, from: a@b.example, port: «99999» } } ]',
  ],
  [
    'missing-key',
    'channels: [ { channel: a, e-mail: { server: b.example, from: a@b.example, «user»: me } } ]',
  ],
  ['not-a-choice', 'channels: [ { channel: a, mqtt: { topic: a } } ]\ntell: [ { who: Kim, by: «b» } ]'],
  [
    'missing-key',
    'channels: [ { channel: a, e-mail: { server: b.example, from: a@b.example } } ]\ntell: [ «{ who: Kim, by: a }» ]',
  ],
  [
    'not-a-choice',
    'channels: [ { channel: a, mqtt: { topic: a } } ]\ntell: [ { who: Kim, by: a, from priority: «urgent» } ]',
  ],
  [
    'bad-time-of-day',
    'channels: [ { channel: a, mqtt: { topic: a } } ]\ntell: [ { who: K, by: a, quiet hours: { from: «25:00», to: 07:00 } } ]',
  ],
  ['yaml-syntax', 'channels: [«\n»'],
]

const WARNINGS: readonly (readonly [string, string])[] = [
  [
    'no-effect',
    'channels: [ { channel: a, mqtt: { topic: a } } ]\ntell: [ { who: K, by: a, to: «k@b.example» } ]',
  ],
  [
    'no-effect',
    'channels: [ { channel: a, mqtt: { topic: a } } ]\ntell: [ { who: K, by: a, quiet hours: «{ from: 0:00, to: 24:00 }» } ]',
  ],
  [
    'no-effect',
    'channels: [ { channel: a, e-mail: { server: b.example, from: a@b.example, security: «none», user: u, password: p } } ]',
  ],
]

describe('the settings', () => {
  it('are read whole, secrets letter by letter', () => {
    const { settings, findings } = readSettings(WHOLE)
    expect(findings).toEqual([])
    expect(settings).toEqual({
      link: 'https://cellar.example',
      channels: [
        {
          kind: 'e-mail',
          name: 'mail',
          server: 'mail.example.org',
          port: 587,
          security: 'starttls',
          user: 'cellar',
          password: 'two  spaces: #1',
          from: 'cellar@example.org',
        },
        {
          kind: 'webhook',
          name: 'house',
          url: 'https://example.org/in?x=1',
          secret: 'wet barley sack',
          timeout_s: 5,
        },
        { kind: 'mqtt', name: 'bell', topic: 'attemper/alarms' },
      ],
      tell: [
        {
          who: 'Kim',
          channel: 'mail',
          to: 'kim@example.org',
          fromPriority: 'medium',
          quiet: { from_s: 79_200, to_s: 25_200 },
          whenOver: true,
        },
        { who: 'Sam', channel: 'house', to: null, fromPriority: 'high', quiet: null, whenOver: false },
        { who: 'Sam', channel: 'bell', to: null, fromPriority: 'low', quiet: null, whenOver: true },
      ],
    })
  })

  it('of the example are good', () => {
    const file = new URL('../../../../examples/notify.yaml', import.meta.url)
    const { settings, findings } = readSettings(readFileSync(file, 'utf8'))
    expect(findings).toEqual([])
    expect(settings?.channels.map(({ name }) => name)).toEqual(['mail', 'house', 'bell'])
    expect(settings?.tell).toHaveLength(3)
  })

  it('encrypt from the first byte on port 465 unless told otherwise', () => {
    const text = 'channels: [ { channel: a, e-mail: { server: b.example, from: a@b.example, port: 465 } } ]'
    expect(readSettings(text).settings!.channels[0]).toMatchObject({ security: 'tls' })
  })

  it.each(['', '\n', '# nothing yet\n', '# a\n\n  # b'])('that say nothing (%j) tell nobody', text => {
    expect(readSettings(text)).toEqual({ settings: { link: null, channels: [], tell: [] }, findings: [] })
  })

  it.each([...FAULTS, ...WARNINGS])('%s: %s', (code, marked) => {
    const at = marked.indexOf('«')
    const text = marked.replace('«', '').replace('»', '')
    const lineStart = text.lastIndexOf('\n', at - 1) + 1
    const { settings, findings } = readSettings(text)
    const column = at - lineStart + 1
    expect(findings).toContainEqual(expect.objectContaining({ code, column }))
    const isWarning = WARNINGS.some(([, each]) => each === marked)
    expect(settings !== null).toBe(isWarning)
    for (const { message, cure, file } of findings) {
      expect(message).toMatch(/^\S.*\.$/)
      expect(cure).toMatch(/^\S.*[.?]$/)
      expect(file).toBe('notify.yaml')
    }
  })

  it('never throw, whatever the text', ({ task }) => {
    const scrap = fc.oneof(fc.string(), fc.constantFrom(...WHOLE.split(/(?<=[\s{},:])/)))
    judge(task, { cases: 300 }, [fc.array(scrap, { maxLength: 60 })], parts => {
      const { settings, findings } = readSettings(parts.join(''))
      expect(settings !== null || findings.some(({ severity }) => severity === 'error')).toBe(true)
    })
    expect(readSettings('['.repeat(100_000)).settings).toBeNull()
  })
})
