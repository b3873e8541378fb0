import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { DEMO_SPEED } from '@attemper/server/demo/demo-speed.ts'
import type { CellarOptions, RunningCellar } from '@attemper/server/main.ts'
import { askedToEnd } from '../asked-to-end.ts'
import { BROKER_OPTIONS, brokerOf } from '../broker-option.ts'
import { lastResort } from '../cellar/last-resort.ts'
import { USUAL_CELLAR, USUAL_PORT } from '../cellar-client.ts'
import type { Command, Given } from '../command.ts'
import { DATA_OPTION, dataFolder } from '../data-option.ts'
import { EXIT, RefusedError, UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'
import { readText } from '../text-file.ts'

const USUAL_HOST = '127.0.0.1'
/** As registered for MQTT. */
const USUAL_MQTT_PORT = 1883
const MOST_SPEED = 10_000
const ENDING =
  'The cellar is being closed. Lines and coils are switched off now, other appliances go off when their lease lapses; a thermostat that keeps its target keeps it.'

/** Starts the cellar on this machine, and keeps it running. */
export const SERVE: Command = {
  name: 'serve',
  summary: 'Starts the cellar on this machine: it looks after your batches until you end it.',
  arguments: [],
  options: [
    DATA_OPTION,
    {
      name: 'host',
      value: 'HOST',
      about: `what it listens on (usually ${USUAL_HOST}, this machine alone); 0.0.0.0 for the whole network needs a password`,
    },
    { name: 'port', value: 'N', about: `port of HTTP (usually ${USUAL_PORT}; 0: any that is free)` },
    {
      name: 'mqtt-port',
      value: 'N',
      about: `port of MQTT (usually ${USUAL_MQTT_PORT}; 0: any that is free)`,
    },
    ...BROKER_OPTIONS,
    { name: 'tls-cert', value: 'FILE', about: 'certificate (PEM), with --tls-key: both doors are encrypted' },
    { name: 'tls-key', value: 'FILE', about: 'key (PEM) of the certificate' },
    {
      name: 'outside',
      value: 'ADDRESS',
      about:
        'how it is reached through a proxy that encrypts, such as https://beer.example.org; kept for later starts; “none” forgets it',
    },
    {
      name: 'proxy',
      value: 'ADDRESS',
      about: 'where that proxy is, if not on this machine; only there is it believed for whom it asks',
    },
    {
      name: 'demo',
      about: `three simulated vessels with a batch each, in records of their own that are thrown away; a day passes in ${86_400 / DEMO_SPEED} s`,
    },
    {
      name: 'speed',
      value: 'N',
      about: `cellar seconds in a real one, to try things out (usually 1, with --demo ${DEMO_SPEED})`,
    },
  ],
  needs: [],
  examples: [
    'attemper serve',
    'attemper serve --demo',
    'attemper serve --data /var/lib/attemper --host 0.0.0.0',
    'attemper serve --broker mqtt://broker.local:1883 --broker-login broker.txt',
  ],
  statuses: {
    good: 'ended in good order',
    bad: 'not started: another cellar has the data, or there is no password',
  },
  async run(given, io) {
    const isThrownAway = given.switch('demo') && given.text('data') === undefined
    const folder = isThrownAway ? mkdtempSync(join(tmpdir(), 'attemper-demo-')) : dataFolder(given, io)
    const ending = askedToEnd(io)
    let leaveFaults: () => void = () => undefined
    try {
      const running = await start(given, folder, io)
      leaveFaults = lastResort(() => running.close(), io)
      sayStarted(running, isThrownAway ? null : folder, given.text('broker') !== undefined, io)
      const reason = await ending.asked
      io.err(`\n${paragraph([reason ?? '', ENDING].join(' ').trim(), io.columns)}\n`)
      await running.close()
    } finally {
      leaveFaults()
      ending.release()
      if (isThrownAway) rmSync(folder, { recursive: true, force: true })
    }
    return EXIT.good
  },
}

async function start(given: Given, folder: string, io: Io): Promise<RunningCellar> {
  const { isRefusal, startCellar } = await import('@attemper/server/main.ts')
  try {
    return await startCellar(optionsOf(given, folder, io))
  } catch (error) {
    if (isRefusal(error)) throw new RefusedError(error.message)
    const { code } = error as NodeJS.ErrnoException
    if (code === 'EACCES' || code === 'EROFS' || code === 'ENOSPC' || code === 'ENOTDIR') {
      throw new UsageError(`The data folder ${folder} can not be written (${code}).`)
    }
    throw error
  }
}

function optionsOf(given: Given, dataDir: string, io: Io): CellarOptions {
  const [cert, key] = [given.text('tls-cert'), given.text('tls-key')]
  if ((cert === undefined) !== (key === undefined)) {
    throw new UsageError('--tls-cert and --tls-key need each other: give both, or neither.')
  }
  const broker = brokerOf(given, io)
  const [outside, proxy] = [given.text('outside'), given.text('proxy')]
  return {
    dataDir,
    host: given.text('host') ?? USUAL_HOST,
    port: given.count('port', USUAL_PORT, 0, 65_535),
    mqttPort: given.count('mqtt-port', USUAL_MQTT_PORT, 0, 65_535),
    ...(broker === undefined ? {} : { broker }),
    outside: {
      ...(outside === undefined ? {} : { address: outside }),
      ...(proxy === undefined ? {} : { proxies: [proxy] }),
    },
    speed: given.count('speed', given.switch('demo') ? DEMO_SPEED : 1, 1, MOST_SPEED),
    demo: given.switch('demo'),
    ...(cert === undefined || key === undefined
      ? {}
      : { tls: { cert: readText(cert, io.folder), key: readText(key, io.folder) } }),
    log: line => io.err(`${line}\n`),
  }
}

function sayStarted(running: RunningCellar, folder: string | null, isOwnBroker: boolean, io: Io): void {
  const { url, mqttUrl } = running
  const say = (text: string) => io.out(`${paragraph(text, io.columns)}\n`)
  if (folder === null) {
    say(
      'A simulated cellar is open: three vessels that are not there, each a program of its own. Ctrl-C ends it.',
    )
  } else say(`The cellar is open, with its records in ${folder}. Ctrl-C ends it.`)
  io.out(`\n  Open  ${url} in a browser.\n  MQTT  ${mqttUrl}${isOwnBroker ? ' (your own broker)' : ''}\n\n`)
  const at = url === USUAL_CELLAR ? '' : ` --cellar ${url}`
  say('Or, in another terminal:')
  // Started by npm, the program is on nobody's path.
  const program = io.env.npm_execpath === undefined ? 'attemper' : 'npx attemper'
  for (const command of nextCommands(running)) io.out(`  ${program} ${command}${at}\n`)
  io.out('\n')
}

function nextCommands({ cellar }: RunningCellar): readonly string[] {
  if (cellar.vessels().length === 0) {
    return ['vessel add VESSEL-FILE', 'start PLAN-FILE --vessel NAME --beer BEER-FILE']
  }
  const batch = cellar.batches().find(({ ended_ms }) => ended_ms === null)
  const ofOne = batch === undefined ? [] : [`watch ${batch.id}`, `why ${batch.id} heater`]
  return ['cellar', 'watch', ...ofOne]
}
