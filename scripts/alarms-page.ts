import { ALARM_KINDS } from '@attemper/core/alarms/catalogue.ts'
import { formatDuration } from '@attemper/core/units/format.ts'

const INTRODUCTION = `An alarm asks somebody to do something; what does not is a line in the log of the batch. Alarms follow the states of
ISA-18.2 (IEC 62682):

| state | meaning |
| --- | --- |
| active | It is so, and nobody has seen it. |
| acknowledged | Somebody has seen it; it stays in the list until it is over. |
| returned | It is over by itself, but nobody has seen it: it stays in the list until somebody has. |
| shelved | Quiet until a moment that somebody chose, at most 7 days away; if it is still so then, it rings again. |

It rings when it has lasted its delay, and is over when it has been away for its return delay, so that what comes and goes
rings once. What returns must last its delay again before it rings again. A question that is answered, and a held batch that
goes on, are simply over. While one of its causes is so in the same batch, it
stays quiet. A restart of the software neither forgets an alarm nor rings it again; delays that were running begin anew.

Software is never the only protection. Where heat, pressure, electricity or carbon dioxide are involved, fit independent
protection, and follow local codes and licensed practice. An alarm can fail to arrive: a message needs power, a network and
somebody who is awake.`

const TELLING = `Who is told, by which channel, from which priority and when not stands in the settings: [notify.md](notify.md), with an
example in [examples/notify.yaml](../../examples/notify.yaml). \`GET /alarms\` lists the alarms; they are acknowledged with
\`POST /alarms/{id}/acknowledge\` and shelved with \`POST /alarms/{id}/shelve\`. \`PUT /notify/settings\` takes the settings,
\`POST /notify/{channel}/try\` sends a test message and answers in a sentence. From the terminal, the commands
\`attemper alarms\` and \`attemper channels\` do the same.

- New alarms are told; that one is over, to whoever wants it. Acknowledging and shelving is told to nobody.
- In quiet hours only new alarms of high priority are told. The others wait, and are not told any more if somebody has seen
  them or they have gone for good before.
- A message that can not be sent is kept, over restarts too, and tried again after 5 s, 30 s, 2 min, 10 min, 30 min and then
  every hour. After 2 d it is given up; at most 300 messages wait, the most urgent of them.
- It can happen, after a crash or a lost answer, that a message comes twice: then with the same \`id\`, or Message-ID.
- A channel that fails twice in a row raises the alarm \`channel-failed\`, which goes out by every other channel, whatever the
  priority from which somebody is told there.
- E-mail: what becomes due at the same time for the same address is one message.
- Web push: a browser is added as a device (\`POST /push/subscriptions\`), and can be tried by itself. Nobody between the cellar
  and the browser can read the message (RFC 8291). A device that its push service does not know any more is forgotten.

## What programs get

A webhook gets a POST with a JSON body, an MQTT topic the same text (QoS 1, not retained):

| member | meaning |
| --- | --- |
| \`id\` | The same when the same message is sent again. |
| \`kind\` | \`raised\`, \`over\` or \`test\`. |
| \`priority\` | \`low\`, \`medium\` or \`high\`. |
| \`at\`, \`sent_at\` | When it changed, and when it was sent (UTC, RFC 3339), on the clock of the cellar. |
| \`subject\`, \`text\` | One sentence; and why, what to do, where and when, as plain text. |
| \`alarm\` | \`id\`, \`code\` and \`subject\` of the alarm; null in a test. |
| \`vessel\`, \`batch\` | Where; null: the cellar itself. |
| \`link\` | The screen of the batch, when the settings say where the cellar is found; else null. |

With a secret, the header \`attemper-signature\` holds \`sha256=\` and the HMAC-SHA256 (RFC 2104) of the bytes of the body in
hexadecimal. A receiver should compute it anew, compare in constant time, and refuse what is too old by \`sent_at\`. Any answer
from 200 to 299 counts as received; redirects are not followed.`

/** The reference of alarms, from the table by which they are raised. */
export function alarmsPage(): string {
  const kinds = ALARM_KINDS.map(({ code, priority, onDelay_s, offDelay_s, reason, instruction, causes }) => {
    const quiet = causes.length === 0 ? '-' : causes.map(each => `\`${each}\``).join(', ')
    const delays = [onDelay_s, offDelay_s].map(delay_s => (delay_s === 0 ? 'none' : formatDuration(delay_s)))
    return `| \`${code}\` | ${priority} | ${delays.join(' | ')} | ${reason} | ${instruction} | ${quiet} |`
  })
  return [
    '# Alarms',
    INTRODUCTION,
    '## The kinds',
    [
      '| code | priority | delay | return delay | why | what to do | quiet while |',
      '| --- | --- | --- | --- | --- | --- | --- |',
      ...kinds,
    ].join('\n'),
    '## How they reach you',
    TELLING,
  ]
    .join('\n\n')
    .concat('\n')
}
