import { askPassword } from '../cellar/ask-password.ts'
import { keepSession } from '../cellar/sessions.ts'
import { CELLAR_OPTION, cellarFor } from '../cellar-client.ts'
import type { Command } from '../command.ts'
import { EXIT } from '../exit-status.ts'

/** Signs in at a cellar that is open to the network. */
export const SIGN_IN: Command = {
  name: 'sign-in',
  summary: 'Signs in at a cellar that asks for a password; the other commands then use that session.',
  arguments: [{ name: 'NAME', about: 'your name there (usually brewer)', optional: true }],
  options: [CELLAR_OPTION],
  needs: [],
  examples: ['attemper sign-in --cellar http://cellar.local:1050'],
  statuses: { good: 'signed in', bad: 'wrong name or password' },
  async run(given, io) {
    const client = cellarFor(given, io)
    const name = given.arguments[0] ?? 'brewer'
    const password = await askPassword(io, `Password of ${name} at ${client.url}: `)
    const session = await client.signIn(name, password)
    keepSession(io, client.url, session)
    io.out(`Signed in as ${name}. The session is kept where only you can read it.\n`)
    return EXIT.good
  },
}
