/** What the screens ask of the cellar and tell it: one function for each, with the types that the cellar itself publishes. */
import type {
  Alarm,
  Bucket,
  Channel,
  CheckedVessel,
  DemoAddress,
  Device,
  DeviceRequest,
  DoorAddresses,
  Entry,
  FoundProbe,
  GravityAnswer,
  GravityRequest,
  Health,
  HeardMessage,
  HistoryBucket,
  ListedBatch,
  MadeToken,
  MappingTrial,
  NotifySettings,
  NotifySettingsAnswer,
  OriginalGravityAnswer,
  OriginalGravityRequest,
  Person,
  PersonRequest,
  PlanAnswer,
  Preferences,
  PushKey,
  Readiness,
  ReadinessRequest,
  Reading,
  RecordedChange,
  Retention,
  RetentionRequest,
  Session,
  SignedIn,
  SignInRequest,
  StartAnswer,
  StartRequest,
  Stream,
  TakenVessel,
  TextSchema,
  Token,
  TokenRequest,
  Trial,
  TriedMapping,
  Vessel,
  View,
  Why,
} from '@attemper/server/http/published.ts'
import { change, look, query } from './request.ts'

const named = (...parts: readonly (string | number)[]) =>
  parts.map(part => `/${encodeURIComponent(part)}`).join('')

/** It is asked for first: a cellar that does not say that much within some seconds is out of reach. */
const HEALTH_PATIENCE_ms = 5000
export const health = () => look<Health>('/health', undefined, HEALTH_PATIENCE_ms)

export const session = () => look<Session>('/session')
export const signIn = (request: SignInRequest) => change<SignedIn>('POST', '/session', request)
export const signOut = () => change('DELETE', '/session')

export const preferences = () => look<Preferences>('/preferences')
export const putPreferences = (all: Preferences) => change<Preferences>('PUT', '/preferences', all)

export const vessels = () => look<readonly Vessel[]>('/vessels')
export const putVessel = (text: string, doors: string) =>
  change<TakenVessel>('POST', '/vessels', { text, doors })
export const readiness = (
  vessel: string,
  request: ReadinessRequest,
  { temperature, gravity }: Pick<Preferences, 'temperature' | 'gravity'>,
) =>
  change<Readiness>('POST', `/vessels${named(vessel)}/readiness${query({ temperature, gravity })}`, request)
export const checkVessel = (text: string, doors: string) =>
  change<CheckedVessel>('POST', '/vessels/check', { text, doors })
export const removeVessel = (name: string) => change('DELETE', `/vessels${named(name)}`)

export const batches = () => look<readonly ListedBatch[]>('/batches')
export const view = (batch: string) => look<View>(`/batches${named(batch)}`)
export const startBatch = (request: StartRequest) => change<StartAnswer>('POST', '/batches', request)
export const log = (batch: string, after: number, limit: number) =>
  look<readonly Entry[]>(`/batches${named(batch)}/log${query({ after, limit })}`)
export const why = (batch: string, appliance: string, at?: number) =>
  look<Why>(`/batches${named(batch)}/why${query({ appliance, at })}`)

export const hold = (batch: string) => change('POST', `/batches${named(batch)}/hold`)
export const resume = (batch: string) => change('POST', `/batches${named(batch)}/resume`)
export const stop = (batch: string) => change('POST', `/batches${named(batch)}/stop`)
export const takeUp = (batch: string) => change('POST', `/batches${named(batch)}/take-up`, {})
export const abort = (batch: string) => change('POST', `/batches${named(batch)}/abort`)
export const answer = (batch: string, question: number, words: 'yes' | 'not yet') =>
  change('POST', `/batches${named(batch)}/answer`, { question, answer: words })
export const goToStage = (batch: string, stage: string) =>
  change('POST', `/batches${named(batch)}/go-to`, { stage })
export const changePlan = (batch: string, planText: string) =>
  change<PlanAnswer>('PUT', `/batches${named(batch)}/plan`, { plan: planText })
export const addNote = (batch: string, text: string) =>
  change('POST', `/batches${named(batch)}/note`, { text })
export const enterGravity = (batch: string, request: GravityRequest) =>
  change<GravityAnswer>('POST', `/batches${named(batch)}/gravity`, request)

export const enterOriginalGravity = (batch: string, request: OriginalGravityRequest) =>
  change<OriginalGravityAnswer>('POST', `/batches${named(batch)}/original-gravity`, request)

export const streams = (vessel?: string) => look<readonly Stream[]>(`/streams${query({ vessel })}`)
export const readings = (stream: Stream, from_ms: number, to_ms: number, limit?: number) =>
  look<readonly Reading[]>(`/readings${query({ ...stream, from: from_ms, to: to_ms, limit })}`)
export const buckets = (
  stream: Stream,
  from_ms: number,
  to_ms: number,
  count: number,
  signal?: AbortSignal,
) =>
  look<readonly Bucket[]>(
    `/readings/buckets${query({ ...stream, from: Math.floor(from_ms), to: Math.ceil(to_ms), count })}`,
    signal,
  )

/** What a batch was believed to be, from whichever instrument was in charge. */
export const history = (
  batch: string,
  quantity: string,
  from_ms: number,
  to_ms: number,
  count: number,
  signal?: AbortSignal,
) =>
  look<readonly HistoryBucket[]>(
    `/batches${named(batch)}/history${query({ quantity, from: Math.floor(from_ms), to: Math.ceil(to_ms), count })}`,
    signal,
  )

export const alarms = () => look<readonly Alarm[]>('/alarms')
export const acknowledge = (id: number) => change<Alarm>('POST', `/alarms${named(id)}/acknowledge`)
export const shelve = (id: number, until: string) =>
  change<Alarm>('POST', `/alarms${named(id)}/shelve`, { until })
export const unshelve = (id: number) => change<Alarm>('POST', `/alarms${named(id)}/unshelve`)

export const channels = () => look<readonly Channel[]>('/notify')
export const tryChannel = (name: string) => change<Trial>('POST', `/notify${named(name)}/try`)
export const notifySettings = () => look<NotifySettings>('/notify/settings')
export const putNotifySettings = (text: string) =>
  change<NotifySettingsAnswer>('PUT', '/notify/settings', { text })
export const checkNotifySettings = (text: string) =>
  change<NotifySettingsAnswer>('POST', '/notify/settings/check', { text })
export const notifySchema = () => look<TextSchema>('/notify/schema')

export const pushKey = () => look<PushKey>('/push/key')
export const devices = () => look<readonly Device[]>('/push/subscriptions')
export const addDevice = (request: DeviceRequest) => change<Device>('POST', '/push/subscriptions', request)
export const removeDevice = (id: string) => change('DELETE', `/push/subscriptions${named(id)}`)
export const tryDevice = (id: string) => change<Trial>('POST', `/push/subscriptions${named(id)}/try`)

export const people = () => look<readonly Person[]>('/people')
export const putPerson = (name: string, request: PersonRequest) =>
  change('PUT', `/people${named(name)}`, request)
export const removePerson = (name: string) => change('DELETE', `/people${named(name)}`)
export const tokens = () => look<readonly Token[]>('/tokens')
export const makeToken = (request: TokenRequest) => change<MadeToken>('POST', '/tokens', request)
export const removeToken = (name: string) => change('DELETE', `/tokens${named(name)}`)
export const recordedChanges = (limit: number) =>
  look<readonly RecordedChange[]>(`/changes${query({ limit })}`)

export const heard = (after: number) => look<readonly HeardMessage[]>(`/doors/heard${query({ after })}`)
export const foundProbes = () => look<readonly FoundProbe[]>('/doors/found')
export const tryMapping = (request: MappingTrial) =>
  change<TriedMapping>('POST', '/doors/try-mapping', request)
export const doorAddresses = (vessel: string) => look<DoorAddresses>(`/doors/addresses${query({ vessel })}`)
export const doorsSchema = () => look<TextSchema>('/doors/schema')

export const retention = () => look<Retention>('/retention')
export const putRetention = (rule: RetentionRequest) => change<Retention>('PUT', '/retention', rule)
/** Where a backup is fetched from, as a file. */
export const BACKUP = './backup'

/** It is a process of its own that has to start and to fill itself: on a small board that takes a while. */
const DEMO_PATIENCE_ms = 180_000
export const openDemo = () => change<DemoAddress>('POST', '/demo', undefined, DEMO_PATIENCE_ms)
