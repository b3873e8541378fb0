import { askPassword } from '../cellar/ask-password.ts'
import { CELLAR_OPTION, cellarFor } from '../cellar-client.ts'
import type { Command } from '../command.ts'
import { DATA_OPTION, dataFolder } from '../data-option.ts'
import { EXIT, RefusedError, UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'

const USUAL_NAME = 'brewer'

/** Sets somebody's password, in a running cellar or before it is started for the first time. */
export const PASSWORD: Command = {
  name: 'password',
  summary: 'Sets a password, without which a cellar is not opened to the network.',
  arguments: [{ name: 'NAME', about: `who it is for (usually ${USUAL_NAME})`, optional: true }],
  options: [
    { name: 'viewer', about: 'may look, but not change anything' },
    { ...DATA_OPTION, about: 'set it in this data folder, while no cellar runs on it' },
    CELLAR_OPTION,
  ],
  needs: [],
  examples: [
    'attemper password',
    'attemper password anna --viewer',
    'attemper password --data /var/lib/attemper',
  ],
  statuses: { good: 'set', bad: 'the cellar refused, for example because the password is too short' },
  async run(given, io) {
    const name = given.arguments[0] ?? USUAL_NAME
    const role = given.switch('viewer') ? 'viewer' : 'brewer'
    const password = await newPassword(io, name)
    if (given.text('data') === undefined) {
      const client = cellarFor(given, io)
      await client.put(`/people/${encodeURIComponent(name)}`, { role, password })
    } else {
      await setInFolder(dataFolder(given, io), name, role, password)
    }
    io.out(`The password of ${name} is set. Sessions that began with another one have ended.\n`)
    return EXIT.good
  },
}

async function newPassword(io: Io, name: string): Promise<string> {
  const password = await askPassword(io, `New password of ${name}, at least 10 characters: `)
  if (io.env.ATTEMPER_PASSWORD) return password
  if ((await askPassword(io, 'The same again: ')) !== password) {
    throw new UsageError('The two are not the same; nothing was changed.')
  }
  return password
}

async function setInFolder(
  folder: string,
  name: string,
  role: 'brewer' | 'viewer',
  password: string,
): Promise<void> {
  const { setPasswordIn, PasswordError } = await import('@attemper/server/set-password.ts')
  const { FolderInUse } = await import('@attemper/server/folder-lock.ts')
  try {
    await setPasswordIn(folder, name, role, password)
  } catch (error) {
    if (error instanceof PasswordError) throw new RefusedError(error.message)
    if (error instanceof FolderInUse)
      throw new RefusedError(`${error.message} Leave --data out to set it there.`)
    throw error
  }
}
