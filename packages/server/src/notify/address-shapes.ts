import type { Reading } from '@attemper/core/source-text/reading.ts'
import { expectScalar, type Shape } from '@attemper/core/source-text/shape.ts'

interface Wanted {
  readonly called: string
  readonly example: string
  readonly longest: number
  /** What is wrong with it; null: nothing. */
  readonly fault: (text: string) => string | null
}

/** A scalar taken letter by letter: addresses and passwords hold no white space that could be left out. */
function verbatim({ called, example, longest, fault }: Wanted): Shape<string> {
  const cure = `Write ${called} like ${example}.`
  return {
    schema: { type: 'string', minLength: 1, maxLength: longest, examples: [example] },
    read: (node, reading: Reading) => {
      const scalar = expectScalar(node, reading, cure)
      if (scalar === undefined) return undefined
      const { text, place } = scalar
      if (text === '') {
        reading.report('missing-value', place, `Here should stand ${called}.`, cure)
        return undefined
      }
      const wrong = text.length > longest ? `longer than ${longest} characters` : fault(text)
      if (wrong === null) return text
      reading.report('bad-name', place, `This is not ${called}: it ${beginning(wrong)}.`, cure)
      return undefined
    },
  }
}

function beginning(wrong: string): string {
  return wrong.startsWith('longer') ? `is ${wrong}` : wrong
}

/** One mailbox: what every mail server takes (RFC 5321), without quotes and comments. */
export const mailAddress: Shape<string> = verbatim({
  called: 'an e-mail address',
  example: 'kim@example.org',
  longest: 254,
  fault: text =>
    /^[^\s@<>(),;:\\"[\]]{1,64}@[A-Za-z0-9.-]*[A-Za-z0-9]$/.test(text)
      ? null
      : 'has not the form name@domain',
})

export const serverName: Shape<string> = verbatim({
  called: 'the name of a server',
  example: 'mail.example.org',
  longest: 253,
  fault: text =>
    /^(?:[A-Za-z0-9](?:[A-Za-z0-9.-]*[A-Za-z0-9])?|[0-9A-Fa-f:]+)$/.test(text)
      ? null
      : 'holds other letters than those of a host name or an IP address',
})

export const webAddress: Shape<string> = verbatim({
  called: 'a web address',
  example: 'https://example.org/cellar',
  longest: 2000,
  fault: text => {
    const url = URL.parse(text)
    if (url === null || !/^https?:\/\/[^/]/.test(text))
      return 'does not begin with https:// or http:// and a host'
    return url.username === '' && url.password === '' ? null : 'carries a user name, which is not sent'
  },
})

export const mqttTopic: Shape<string> = verbatim({
  called: 'an MQTT topic',
  example: 'attemper/alarms',
  longest: 200,
  fault: text =>
    /[+#\0]/.test(text) || text.startsWith('$')
      ? 'holds + or #, or begins with $, which nobody can publish to'
      : null,
})

export const secretText: Shape<string> = verbatim({
  called: 'a secret',
  example: '"wet barley sack"',
  longest: 500,
  fault: () => null,
})
