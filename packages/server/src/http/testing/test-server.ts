import { readFileSync } from 'node:fs'
import type { FastifyInstance } from 'fastify'
import { afterEach } from 'vitest'
import { type AlarmKeeper, openAlarms } from '../../alarms/alarm-keeper.ts'
import { HandClock } from '../../alarms/testing/hand-clock.ts'
import { checkVessel } from '../../doors/claims/check-vessel.ts'
import { doorAddresses } from '../../doors/door-addresses.ts'
import { doorsSchema } from '../../doors/door-settings.ts'
import { HeardMessages } from '../../doors/heard-messages.ts'
import type { Refusal, Report } from '../../doors/report.ts'
import { tryMapping } from '../../doors/try-mapping.ts'
import { type Notifier, openNotifier } from '../../notify/notifier.ts'
import { type Access, type AccessSettings, openAccess } from '../access/access.ts'
import type { Decode, HttpParts } from '../http-app.ts'
import { httpServer } from '../http-server.ts'
import { FakeCellar } from './fake-cellar.ts'
import { FakeClock } from './fake-clock.ts'
import { FakeStore } from './fake-store.ts'

export const BUCKET = readFileSync(
  new URL('../../../../../examples/bucket-with-pad.vessel.yaml', import.meta.url),
  'utf8',
)

export const VESSEL = 'Bucket with a heating pad'

/** What a program sends with a change. */
export const PROGRAM = { 'x-attemper': '1' }

export interface TestServer {
  readonly app: FastifyInstance
  readonly cellar: FakeCellar
  readonly store: FakeStore
  readonly clock: FakeClock
  readonly access: Access
  readonly alarms: AlarmKeeper
  readonly notifier: Notifier
  /** Lets the time of alarms and messages pass; it begins with that of the clock. */
  readonly hand: HandClock
}

const open: FastifyInstance[] = []

afterEach(async () => {
  await Promise.all(open.splice(0).map(app => app.close()))
})

/** A server over doubles, with one vessel; closed after the test. Injected requests come to localhost at port 80. */
export async function startTestServer({
  settings = { host: '127.0.0.1', port: 80 },
  passwords = {},
  parts = {},
}: {
  readonly settings?: AccessSettings
  /** By name; "brewer" and names that begin with it become brewers, others viewers. */
  readonly passwords?: Readonly<Record<string, string>>
  readonly parts?: Partial<HttpParts>
} = {}): Promise<TestServer> {
  const clock = new FakeClock()
  const store = new FakeStore()
  const cellar = new FakeCellar(clock, store)
  cellar.putVessel(BUCKET, '', 'test')
  const access = openAccess(store.asStore(), clock, settings)
  await letIn(passwords, access, store)
  const hand = new HandClock(clock.now_ms())
  const told = { store, clock: hand, timers: hand }
  const notifier = openNotifier({
    ...told,
    localOffset_s: () => 0,
    publish: () => undefined,
    mayPushToLoopback: true,
  })
  const alarms = openAlarms({ ...told, notify: changes => notifier.notify(changes) })
  const app = httpServer({
    cellar,
    store: store.asStore(),
    clock,
    access,
    decode: plainDecode,
    alarms,
    notifier,
    doors: {
      heard: new HeardMessages(clock),
      tryMapping: trial => tryMapping(trial, cellar.vessels(), clock.now_ms()),
      findProbes: async () => [FOUND],
      check: (text, doors) => checkVessel(text, doors, cellar.vessels()),
      schema: doorsSchema,
      addresses: vessel => doorAddresses(vessel, { port: 1883, broker: null }),
    },
    ...parts,
  })
  open.push(app)
  await app.ready()
  return { app, cellar, store, clock, access, alarms, notifier, hand }
}

const FOUND = {
  door: 'one-wire',
  name: '28-000000abcdef',
  label: null,
  value: 18.25,
  unit: '°C',
  problem: null,
} as const

/** Hashes are meant to take long: the same people are hashed once. */
const KNOWN = new Map<string, string>()

async function letIn(
  passwords: Readonly<Record<string, string>>,
  { people }: Access,
  store: FakeStore,
): Promise<void> {
  const key = JSON.stringify(passwords)
  const known = KNOWN.get(key)
  if (known !== undefined) store.putDocument('access.people', known)
  else {
    for (const [name, password] of Object.entries(passwords)) {
      await people.put(name, name.startsWith('brewer') ? 'brewer' : 'viewer', password)
    }
    KNOWN.set(key, store.getDocument('access.people') ?? '[]')
  }
}

export function startBatch({ cellar }: TestServer): string {
  const { batch } = cellar.startBatch({ vessel: VESSEL, planText: 'plan', beerText: 'beer' }, 'test')
  if (batch === null) throw new Error('The double refuses a good plan.')
  return batch
}

/** Understands a JSON array of reports; what is not a number is refused. */
export const plainDecode: Decode = (kind, body, { vessel, now_ms }) => {
  if (!kind.endsWith('json')) return { reports: [], refused: [wrongShape(0, `${kind} is not known.`)] }
  const sent = parseList(body)
  if (sent === null) return { reports: [], refused: [wrongShape(0, 'This is no list of readings.')] }
  const reports: Report[] = []
  const refused: Refusal[] = []
  for (const [index, one] of sent.entries()) {
    const { value, at_ms = now_ms, vessel: named = vessel ?? '' } = (one ?? {}) as Partial<Report>
    if (typeof value !== 'number') {
      refused.push({ index, code: 'not-a-number', message: 'The value is not a number.' })
    } else if (Math.abs(value) > 1e6) {
      refused.push({ index, code: 'out-of-range', message: 'No beer is like that.' })
    } else {
      reports.push({
        vessel: String(named),
        instrument: 'Probe',
        quantity: 'beer',
        value,
        at_ms: Number(at_ms),
        status: 'good',
      })
    }
  }
  return { reports, refused }
}

function parseList(body: Buffer): readonly unknown[] | null {
  try {
    const value: unknown = JSON.parse(body.toString())
    return Array.isArray(value) ? value : null
  } catch {
    return null
  }
}

function wrongShape(index: number, message: string): Refusal {
  return { index, code: 'wrong-shape', message }
}
