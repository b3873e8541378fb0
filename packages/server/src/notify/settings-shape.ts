import { list } from '@attemper/core/source-text/list.ts'
import type { Reading } from '@attemper/core/source-text/reading.ts'
import { may, need, type ReadRecord, record } from '@attemper/core/source-text/record.ts'
import { type Placed, placed, type Shape } from '@attemper/core/source-text/shape.ts'
import { choice, flag, name, quantity, timeOfDay } from '@attemper/core/source-text/value-shapes.ts'
import { mailAddress, mqttTopic, secretText, serverName, webAddress } from './address-shapes.ts'
import type { ChannelSettings, NotifySettings, Recipient } from './settings.ts'

const emailRecord = record(
  {
    server: need(serverName, 'The mail server that takes messages (SMTP).'),
    port: may(
      quantity('number', {
        least: 1,
        greatest: 65_535,
        said: 'Write a port from 1 to 65535, for example 587.',
      }),
      'Its port.',
      '587',
    ),
    security: may(
      choice('starttls', 'tls', 'none'),
      'starttls: encrypted before anything is said; tls: from the first byte (port 465); none: in the clear, for a server on this machine.',
      'tls on port 465, starttls on any other',
    ),
    user: may(secretText, 'The name to sign in with.', 'without signing in'),
    password: may(secretText, 'The password that belongs to the user.'),
    from: need(mailAddress, 'The address that the messages come from.'),
  },
  { called: 'the e-mail settings', example: '{ server: mail.example.org, from: cellar@example.org }' },
)

type ReadEmail = typeof emailRecord extends Shape<infer R> ? R : never

const webhookRecord = record(
  {
    url: need(webAddress, 'Where messages are posted to, as JSON.'),
    secret: may(
      secretText,
      'Key of the signature: the header attemper-signature holds sha256= and the HMAC-SHA256 (RFC 2104) of the body in hexadecimal.',
      'no signature',
    ),
    timeout: may(
      quantity('duration', { least: 1, greatest: 60, said: 'Write a time from 1 s to 60 s.' }),
      'How long an answer is waited for.',
      '10 s',
    ),
  },
  { called: 'the webhook', example: '{ url: https://example.org/cellar, secret: "wet barley sack" }' },
)

const mqttRecord = record(
  { topic: need(mqttTopic, 'The topic to which messages are published as JSON, not retained.') },
  { called: 'the MQTT settings', example: '{ topic: attemper/alarms }' },
)

const pushRecord = record(
  {
    contact: may(
      mailAddress,
      'An e-mail address for the people who run the push services, should messages go astray; some refuse whoever gives none.',
      '`link`, if that begins with https; else none',
    ),
  },
  { called: 'the push settings', example: '{ contact: kim@example.org }' },
)

const channelFields = {
  channel: need(placed(name), 'What it is called.'),
  'e-mail': may(emailRecord, 'It sends e-mail.'),
  webhook: may(webhookRecord, 'It posts to a web address.'),
  mqtt: may(mqttRecord, 'It publishes to a topic of the broker.'),
  push: may(
    pushRecord,
    'It sends to the browsers that were added as devices (web push). At most one channel.',
  ),
}

const channelRecord = record(channelFields, {
  called: 'a channel',
  example: '{ channel: bell, mqtt: { topic: attemper/alarms } }',
  otherWords: { email: 'e-mail', mail: 'e-mail', smtp: 'e-mail', name: 'channel' },
})

const quietRecord = record(
  {
    from: need(timeOfDay, 'When they begin, local time.'),
    to: need(timeOfDay, 'When they end, local time; may be on the next day.'),
  },
  { called: 'the quiet hours', example: '{ from: 22:00, to: 07:00 }' },
)

const recipientFields = {
  who: need(
    name,
    'Whom to tell. For push: the name of a device, or of the person who added it; devices that no row is about are told everything.',
  ),
  by: need(placed(name), 'The name of a channel.'),
  to: may(placed(mailAddress), 'The e-mail address; only for a channel that sends e-mail.'),
  'from priority': may(
    choice('low', 'medium', 'high'),
    'Alarms of this priority and above. That another channel fails is told whatever stands here.',
    'low, so everything',
  ),
  'quiet hours': may(
    placed(quietRecord),
    'Messages wait until they are over, unless somebody has seen the alarm by then. High priority always passes.',
    'none',
  ),
  'when over': may(flag, 'Whether to tell also that an alarm is over.', 'true'),
}

const recipientRecord = record(recipientFields, {
  called: 'somebody to tell',
  example: '{ who: Kim, by: mail, to: kim@example.org }',
  otherWords: { name: 'who', channel: 'by', priority: 'from priority', quiet: 'quiet hours' },
})

const settingsRecord = record(
  {
    link: may(webAddress, 'Where this cellar is found in a browser; messages then carry a link.', 'no link'),
    channels: may(
      list(channelRecord, {
        called: 'channels',
        example: '- { channel: bell, mqtt: { topic: attemper/alarms } }',
        most: 20,
      }),
      'The ways in which somebody can be reached.',
      'none',
    ),
    tell: may(
      list(recipientRecord, {
        called: 'people',
        example: '- { who: Kim, by: mail, to: kim@example.org }',
        most: 100,
      }),
      'Who is told what, by which channel. Somebody may stand here several times.',
      'nobody',
    ),
  },
  {
    called: 'the settings',
    example: 'channels: [ { channel: bell, mqtt: { topic: attemper/alarms } } ]',
    otherWords: { people: 'tell', recipients: 'tell', url: 'link' },
  },
)

export const settingsShape: Shape<NotifySettings> = {
  schema: settingsRecord.schema,
  read: (node, reading) => {
    const read = settingsRecord.read(node, reading)
    if (read === undefined) return undefined
    const { link, channels = [], tell = [] } = read.values
    const known = new Map<string, ChannelSettings>()
    for (const each of channels) readChannel(each, known, reading)
    return {
      link: link?.replace(/\/+$/, '') ?? null,
      channels: [...known.values()],
      tell: tell.flatMap(each => readRecipient(each, known, reading)),
    }
  },
}

const KINDS = ['e-mail', 'webhook', 'mqtt', 'push'] as const

function readChannel(
  { values, keyPlaces, place }: ReadRecord<typeof channelFields>,
  known: Map<string, ChannelSettings>,
  reading: Reading,
) {
  const called = values.channel
  const offsetOf = (kind: (typeof KINDS)[number]) => keyPlaces[kind]?.offset ?? 0
  const kinds = KINDS.filter(kind => keyPlaces[kind] !== undefined).sort((a, b) => offsetOf(a) - offsetOf(b))
  if (kinds.length === 0) {
    reading.report(
      'missing-key',
      place,
      'A channel needs “e-mail”, “webhook”, “mqtt” or “push”.',
      'Add one of them, as in mqtt: { topic: attemper/alarms }.',
    )
  }
  if (kinds.length > 1) {
    reading.report(
      'conflicting-keys',
      keyPlaces[kinds[1]!]!,
      `“${kinds[0]}” and “${kinds[1]}” stand together in one channel.`,
      'Make two channels of it, each with a name of its own.',
    )
  }
  if (called === undefined) return
  if (known.has(called.value)) {
    reading.report(
      'bad-name',
      called.place,
      `A channel “${called.value}” stands already above.`,
      `Give each channel a name of its own, for example “${called.value} 2”.`,
    )
    return
  }
  const settings = channelFrom(called.value, values, reading)
  const other = [...known.values()].find(({ kind }) => kind === 'push')
  if (settings?.kind === 'push' && other !== undefined) {
    reading.report(
      'conflicting-keys',
      keyPlaces.push!,
      `“${other.name}” reaches the devices already.`,
      'Remove one of the two; “tell” may name it several times.',
    )
    return
  }
  if (settings !== undefined) known.set(called.value, settings)
}

function channelFrom(
  called: string,
  values: ReadRecord<typeof channelFields>['values'],
  reading: Reading,
): ChannelSettings | undefined {
  const email = values['e-mail']
  if (email !== undefined) return emailFrom(called, email, reading)
  const url = values.webhook?.values.url
  if (url !== undefined) {
    const { secret = null, timeout = 10 } = values.webhook!.values
    return { kind: 'webhook', name: called, url, secret, timeout_s: timeout }
  }
  const topic = values.mqtt?.values.topic
  if (topic !== undefined) return { kind: 'mqtt', name: called, topic }
  if (values.push === undefined) return undefined
  const { contact } = values.push.values
  return { kind: 'push', name: called, contact: contact === undefined ? null : `mailto:${contact}` }
}

function emailFrom(
  called: string,
  { values, keyPlaces, valuePlaces }: ReadEmail,
  reading: Reading,
): ChannelSettings | undefined {
  const { server, from, port = 587, user = null, password } = values
  const security = values.security ?? (port === 465 ? 'tls' : 'starttls')
  if ((user === null) !== (password === undefined)) {
    const there = user === null ? 'password' : 'user'
    const lacking = user === null ? 'user' : 'password'
    reading.report(
      'missing-key',
      keyPlaces[there]!,
      `“${there}” stands without “${lacking}”.`,
      `Add “${lacking}:”, or remove “${there}”.`,
    )
  }
  if (security === 'none' && user !== null && !/^(?:localhost|127\..*|::1)$/.test(server ?? '')) {
    reading.report(
      'no-effect',
      valuePlaces.security!,
      'The password would go over the network in the clear.',
      'Write security: starttls, or tls on port 465.',
      'warning',
    )
  }
  if (!Number.isInteger(port)) {
    reading.report('out-of-range', valuePlaces.port!, 'A port is a whole number.', 'Write for example 587.')
  }
  if (server === undefined || from === undefined) return undefined
  return { kind: 'e-mail', name: called, server, port, security, user, password: password ?? '', from }
}

function readRecipient(
  { values, place }: ReadRecord<typeof recipientFields>,
  known: ReadonlyMap<string, ChannelSettings>,
  reading: Reading,
): readonly Recipient[] {
  const { who, by, to } = values
  if (by === undefined || who === undefined) return []
  const channel = known.get(by.value)
  if (channel === undefined) {
    const names = [...known.keys()]
    reading.report(
      'not-a-choice',
      by.place,
      `There is no channel “${by.value}”.`,
      names.length === 0 ? 'Add it under “channels”.' : `There are: ${names.join(', ')}.`,
    )
    return []
  }
  if (channel.kind === 'e-mail' && to === undefined) {
    reading.report(
      'missing-key',
      place,
      `To tell ${who} by e-mail, an address is needed.`,
      'Add “to:”, as in to: kim@example.org.',
    )
    return []
  }
  if (channel.kind !== 'e-mail' && to !== undefined) {
    reading.report(
      'no-effect',
      to.place,
      `“${by.value}” sends no e-mail, so the address is not used.`,
      'Remove it.',
      'warning',
    )
  }
  return [
    {
      who,
      channel: by.value,
      to: channel.kind === 'e-mail' ? to!.value : null,
      fromPriority: values['from priority'] ?? 'low',
      quiet: quietFrom(values['quiet hours'], reading),
      whenOver: values['when over'] ?? true,
    },
  ]
}

function quietFrom(
  read: Placed<{ readonly values: { readonly from?: number; readonly to?: number } }> | undefined,
  reading: Reading,
): Recipient['quiet'] {
  if (read === undefined) return null
  const { from, to } = read.value.values
  if (from === undefined || to === undefined) return null
  if (from % 86_400 === to % 86_400) {
    reading.report(
      'no-effect',
      read.place,
      'These hours end when they begin, so none are quiet.',
      'Write two different times, as in { from: 22:00, to: 07:00 }.',
      'warning',
    )
    return null
  }
  return { from_s: from, to_s: to }
}
