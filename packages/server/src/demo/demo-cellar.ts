import { type ChildProcess, fork } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { setTimeout as sleep } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'

const DAY_S = 86_400
const LOOKS_EVERY_MS = 50
const MOST_LOOKS = 100

/** Three vessels of a scenario of our own. Their files stand in scenario/, under these names. */
const SCENARIO = [
  /** Pitched now, goes to the crash by itself. */
  { name: 'tank', pitchedBefore_s: 0, seed: 11 },
  /** Under way when the cellar takes it over, but not so far that a gravity would be disbelieved; asks before the crash. */
  { name: 'larder', pitchedBefore_s: 0.8 * DAY_S, seed: 12 },
  /** Begun yesterday, and can only be warmed. */
  { name: 'bucket', pitchedBefore_s: 1 * DAY_S, seed: 13 },
] as const

export interface DemoOptions {
  /** Where the cellar's HTTP interface is: http://127.0.0.1:PORT */
  readonly http: string
  readonly broker: { readonly host: string; readonly port: number }
  /** The cellar's clock: it stood at `origin_ms` when the real one was at `realOrigin_ms`. */
  readonly clock: { readonly origin_ms: number; readonly realOrigin_ms: number; readonly speed: number }
}

export interface Demo {
  /** The batches that were started, in the order of the scenario. */
  readonly batches: readonly string[]
  stop(): Promise<void>
}

/**
 * Sets up three simulated vessels in a cellar that runs: adds them over HTTP, starts each as a program of its own, and starts
 * their batches, just as a brewer would. Rejects with what the cellar or a program said when one of them can not begin.
 */
export async function startDemo(options: DemoOptions): Promise<Demo> {
  const programs: ChildProcess[] = []
  const stop = async () => {
    await Promise.all(programs.map(program => endOf(program)))
  }
  try {
    const batches: string[] = []
    for (const vessel of SCENARIO) {
      const text = read(`${vessel.name}.vessel.yaml`)
      const { name } = await post<{ name: string }>(options.http, '/vessels', { text, doors: '' })
      const program = startVessel(vessel, options)
      programs.push(program)
      await readiness(program, name)
      await probeHeard(options.http, name)
      const { batch } = await post<{ batch: string }>(options.http, '/batches', {
        vessel: name,
        plan: read(`${vessel.name}.plan.yaml`),
        beer: read(`${vessel.name}.beer.yaml`),
      })
      batches.push(batch)
    }
    return { batches, stop }
  } catch (problem) {
    await stop()
    throw problem
  }
}

function startVessel(vessel: (typeof SCENARIO)[number], { http, broker, clock }: DemoOptions): ChildProcess {
  const { origin_ms, realOrigin_ms, speed } = clock
  const now_ms = origin_ms + (Date.now() - realOrigin_ms) * speed
  const options = {
    vessel: fileOf(`${vessel.name}.vessel.yaml`),
    beer: fileOf(`${vessel.name}.beer.yaml`),
    broker: `${broker.host}:${broker.port}`,
    http,
    origin: origin_ms,
    'real-origin': realOrigin_ms,
    speed,
    pitched: Math.floor(now_ms / 1000 - vessel.pitchedBefore_s),
    seed: vessel.seed,
  }
  const words = Object.entries(options).flatMap(([name, value]) => [`--${name}`, String(value)])
  return fork(fileURLToPath(new URL('./simulated-vessel.ts', import.meta.url)), words, {
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  })
}

function readiness(program: ChildProcess, name: string): Promise<void> {
  return new Promise((resolve, reject) => {
    program.once('message', () => resolve())
    program.once('exit', code =>
      reject(new Error(`The simulated vessel ${name} ended at once (status ${code}).`)),
    )
  })
}

/**
 * As a brewer would, waits until the probe is heard; otherwise a busy machine, where minutes of the fast clock pass in a
 * moment, greets with an alarm. A probe that stays silent is for the alarms to tell.
 */
async function probeHeard(http: string, vessel: string): Promise<void> {
  for (let tries = 0; tries < MOST_LOOKS; tries++) {
    const answer = await fetch(new URL(`/vessels/${encodeURIComponent(vessel)}/readiness`, http))
    const { checks } = (await answer.json()) as {
      readonly checks?: readonly { readonly code: string; readonly state: string }[]
    }
    if (checks?.some(({ code, state }) => code === 'beer-probe-heard' && state === 'ok')) return
    await sleep(LOOKS_EVERY_MS)
  }
}

async function endOf(program: ChildProcess): Promise<void> {
  if (program.exitCode !== null || program.signalCode !== null) return
  const ended = new Promise<void>(resolve => program.once('exit', () => resolve()))
  program.kill()
  await ended
}

async function post<T>(http: string, path: string, body: unknown): Promise<T> {
  const answer = await fetch(new URL(path, http), {
    method: 'POST',
    // Changes are taken from programs only, not from pages of others.
    headers: { 'content-type': 'application/json', 'x-attemper': '1' },
    body: JSON.stringify(body),
  })
  const text = await answer.text()
  if (!answer.ok) throw new Error(`The cellar refused POST ${path} (${answer.status}): ${text}`)
  return JSON.parse(text) as T
}

function fileOf(name: string): string {
  return fileURLToPath(new URL(`./scenario/${name}`, import.meta.url))
}

function read(name: string): string {
  return readFileSync(fileOf(name), 'utf8')
}
