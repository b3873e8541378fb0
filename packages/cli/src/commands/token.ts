import { tableText } from '@attemper/core/report/text/table.ts'
import { formatDate } from '@attemper/core/units/format.ts'
import { CELLAR_OPTION, cellarFor } from '../cellar-client.ts'
import { type Command, JSON_OPTION } from '../command.ts'
import { EXIT, UsageError } from '../exit-status.ts'

interface Token {
  readonly name: string
  readonly door: string
  readonly made_ms: number
}

/** Tokens of devices: each opens one door and no other. */
export const TOKEN: Command = {
  name: 'token',
  summary: 'Makes, lists or removes tokens: what a device shows instead of a password.',
  arguments: [
    { name: 'WHAT', about: 'make, list or remove' },
    { name: 'NAME', about: 'make, remove: name of the device', optional: true },
  ],
  options: [
    {
      name: 'door',
      value: 'DOOR',
      about: 'make: readings:VESSEL (an instrument), appliance:VESSEL, or view (a calendar)',
    },
    CELLAR_OPTION,
    JSON_OPTION,
  ],
  needs: [],
  examples: [
    'attemper token make "Float 1" --door "readings:Garage fridge"',
    'attemper token list',
    'attemper token remove "Float 1"',
  ],
  statuses: { good: 'done', bad: 'the cellar refused' },
  async run(given, io) {
    const [what, name] = given.arguments as [string, string | undefined]
    const client = cellarFor(given, io)
    const say = (data: object, sentence: string) =>
      io.out(given.switch('json') ? `${JSON.stringify(data, null, 2)}\n` : `${sentence}\n`)
    if (what === 'list') {
      const tokens = await client.get<readonly Token[]>('/tokens')
      say({ tokens: tokens.map(({ name, door }) => ({ name, door })) }, tokensText(tokens, io.columns))
      return EXIT.good
    }
    if (what !== 'make' && what !== 'remove') {
      throw new UsageError(`WHAT should be make, list or remove, but is "${what}".`)
    }
    if (name === undefined) throw new UsageError(`NAME is missing: attemper token ${what} NAME.`)
    if (what === 'remove') {
      await client.delete(`/tokens/${encodeURIComponent(name)}`)
      say({ removed: name }, `${name} is refused from now on.`)
      return EXIT.good
    }
    const door = given.text('door')
    if (door === undefined) {
      throw new UsageError('--door is missing: readings:VESSEL, appliance:VESSEL or view.')
    }
    const made = await client.post<{ name: string; door: string; token: string }>('/tokens', { name, door })
    say(
      made,
      `${made.token}\n\nThis token of ${name} is shown only now, and is kept nowhere: write it into the device.`,
    )
    return EXIT.good
  },
}

function tokensText(tokens: readonly Token[], width: number): string {
  if (tokens.length === 0) return 'There are no tokens.'
  const rows = tokens.map(({ name, door, made_ms }) => [name, door, formatDate(made_ms / 1000)])
  return tableText(
    [{ title: 'Token', wraps: true }, { title: 'Door', wraps: true }, { title: 'Made' }],
    rows,
    width,
  )
}
