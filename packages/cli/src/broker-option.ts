import type { BrewersBroker } from '@attemper/server/start/brewers-broker.ts'
import type { CommandOption, Given } from './command.ts'
import { UsageError } from './exit-status.ts'
import type { Io } from './io.ts'
import { readText } from './text-file.ts'

const USER = 'ATTEMPER_BROKER_USER'
const PASSWORD = 'ATTEMPER_BROKER_PASSWORD'

export const BROKER_OPTIONS: readonly CommandOption[] = [
  {
    name: 'broker',
    value: 'URL',
    about: 'an MQTT broker of your own (mqtt://HOST:1883 or mqtts://HOST:8883); then none is opened here',
  },
  {
    name: 'broker-login',
    value: 'FILE',
    about: `its name and password, in two lines of a file (or in the environment: ${USER}, ${PASSWORD})`,
  },
  { name: 'broker-ca', value: 'FILE', about: 'certificate (PEM) by which to know it, with mqtts' },
]

/** The broker that the command line names; undefined: none. What everybody on the machine can read holds no password. */
export function brokerOf(given: Given, io: Io): BrewersBroker | undefined {
  const url = given.text('broker')
  const [login, ca] = [given.text('broker-login'), given.text('broker-ca')]
  if (url === undefined) {
    if (login === undefined && ca === undefined) return undefined
    throw new UsageError(
      '--broker-login and --broker-ca are about a broker of your own: name it with --broker.',
    )
  }
  if (given.switch('demo')) throw new UsageError('--demo has a broker of its own: leave --broker out.')
  requireAddress(url)
  if (ca !== undefined && !url.startsWith('mqtts:')) {
    throw new UsageError('--broker-ca needs an encrypted connection: write mqtts:// in --broker.')
  }
  return {
    url,
    ...(login === undefined ? fromEnvironment(io) : fromFile(login, io)),
    ...(ca === undefined ? {} : { ca: readText(ca, io.folder) }),
  }
}

function requireAddress(text: string): void {
  const url = URL.canParse(text) ? new URL(text) : null
  if (url !== null && (url.username !== '' || url.password !== '')) {
    throw new UsageError(
      `The command line can be read by everybody on this machine, so --broker takes no name and no password. Write them into a file, for --broker-login, or into ${USER} and ${PASSWORD}.`,
    )
  }
  const isKnown = url?.protocol === 'mqtt:' || url?.protocol === 'mqtts:'
  const isBare = url !== null && url.hostname !== '' && /^\/?$/.test(url.pathname) && url.search === ''
  if (isKnown && isBare) return
  throw new UsageError(`--broker wants mqtt://HOST:PORT or mqtts://HOST:PORT, not “${text}”.`)
}

type Login = Pick<BrewersBroker, 'username' | 'password'>

function fromEnvironment({ env }: Io): Login {
  const { [USER]: username, [PASSWORD]: password } = env
  if (!username && password)
    throw new UsageError(`${PASSWORD} is set, but not the name that it is for: ${USER}.`)
  return { ...(username ? { username } : {}), ...(username && password ? { password } : {}) }
}

function fromFile(name: string, io: Io): Login {
  const [username = '', password = '', ...rest] = readText(name, io.folder).trimEnd().split(/\r?\n/)
  if (username === '' || rest.length > 0) {
    throw new UsageError(`${name} should hold two lines: the name, and the password.`)
  }
  return { username, ...(password === '' ? {} : { password }) }
}
