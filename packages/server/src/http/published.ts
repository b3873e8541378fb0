/**
 * What the HTTP interface answers and takes, as types: made from the schemas that check each request and describe it at
 * /openapi.json. For programs that fetch it, such as the screens; nothing of it exists when it runs, and nothing here
 * needs Node. An answer with a status of 400 or more is a Problem.
 */
import type { EngineEvent } from '@attemper/core/engine/events.ts'
import type { Finding } from '@attemper/core/finding.ts'
import type { JsonSchema } from '@attemper/core/source-text/shape.ts'
import type { Static, TSchema } from 'typebox'
import type { ReadonlyDeep } from './readonly-deep.ts'
import type * as access from './routes/access-schemas.ts'
import type * as alarms from './routes/alarm-schemas.ts'
import type * as batches from './routes/batch-schemas.ts'
import type { DemoAddress as DemoSchema } from './routes/demo-schema.ts'
import type * as doors from './routes/door-schemas.ts'
import type { Health as HealthSchema } from './routes/health-schema.ts'
import type * as notify from './routes/notify-schemas.ts'
import type * as preferences from './routes/preference-schemas.ts'
import type * as push from './routes/push-schemas.ts'
import type * as readiness from './routes/readiness-schemas.ts'
import type * as readings from './routes/reading-schemas.ts'
import type * as retention from './routes/retention-schemas.ts'
import type * as series from './routes/series-schemas.ts'
import type * as vessels from './routes/vessel-schemas.ts'

export type { EngineState } from '@attemper/core/engine/contract.ts'
export type { PushMessage } from '../notify/push/push-message.ts'
export type { ErrorCode, Problem } from './errors.ts'
export type { EngineEvent, Finding }

/** GET /health. */
export type Health = Answer<typeof HealthSchema>

/** POST /demo. */
export type DemoAddress = Answer<typeof DemoSchema>

/** GET /vessels, GET /vessels/:name. */
export type Vessel = Answer<typeof vessels.Vessel>
/** POST /vessels, and its answer. */
export type NewVessel = Answer<typeof vessels.NewVessel>
export type TakenVessel = Answer<typeof vessels.TakenVessel>
/** POST /vessels/check, with a NewVessel. */
export type CheckedVessel = Answer<typeof vessels.CheckedVessel>
/** GET /vessels/:name/readiness; POST the same with a ReadinessRequest. */
export type Readiness = Answer<typeof readiness.Readiness>
export type ReadinessCheck = Readiness['checks'][number]
export type ReadinessRequest = Answer<typeof readiness.ReadinessFor>

/** GET /batches. */
export type Batch = Answer<typeof batches.Batch>
export type ListedBatch = Answer<typeof batches.ListedBatch>
/** GET /batches/:id. */
export type View = Answer<typeof batches.View>
export type Question = View['questions'][number]
/** GET /batches/:id/log; told apart by `kind`. */
export type Entry = Static<typeof batches.Entry>
/** GET /batches/:id/expected. */
export type ExpectedTransition = Answer<typeof batches.ExpectedTransition>
/** GET /batches/:id/why. */
export type Why = Answer<typeof batches.Why>
/** POST /batches, and its answer. */
export type StartRequest = Answer<typeof batches.StartBatch>
export type StartAnswer = Answer<typeof batches.StartedBatch>
/** POST /batches/:id/answer, /go-to, /note and /gravity; PUT /batches/:id/plan. */
export type AnswerRequest = Answer<typeof batches.Answer>
export type GoToRequest = Answer<typeof batches.GoTo>
export type NoteRequest = Answer<typeof batches.Note>
export type PlanRequest = Answer<typeof batches.NewPlan>
export type PlanAnswer = Answer<typeof batches.TakenPlan>
export type GravityRequest = Answer<typeof batches.HandGravity>
export type GravityAnswer = Answer<typeof batches.TakenGravity>
/** POST /batches/:id/original-gravity, and its answer. */
export type OriginalGravityRequest = Answer<typeof batches.OriginalGravity>
export type OriginalGravityAnswer = Answer<typeof batches.TakenOriginal>

/** GET /alarms, and POST /alarms/:id/shelve. */
export type Alarm = Answer<typeof alarms.Alarm>
export type ShelveRequest = Answer<typeof alarms.Shelving>

/** GET /streams, GET /readings, GET /readings/buckets. */
export type Stream = Answer<typeof series.Stream>
export type Reading = Answer<typeof series.Reading>
export type Bucket = Answer<typeof series.Bucket>
/** GET /batches/:id/history. */
export type HistoryBucket = Answer<typeof series.HistoryBucket>
/** POST /readings. */
export type Receipt = Answer<typeof readings.Receipt>
/** POST /readings/past. */
export type PastReadings = Answer<typeof readings.PastReadings>

/** GET /doors/schema, GET /notify/schema. */
export type TextSchema = JsonSchema
/** GET /doors/heard; POST /doors/try-mapping and its answer; GET /doors/found. */
export type HeardMessage = Answer<typeof doors.HeardMessage>
export type MappingTrial = Answer<typeof doors.MappingTrial>
export type TriedMapping = Answer<typeof doors.TriedMapping>
export type FoundProbe = Answer<typeof doors.FoundProbe>
/** GET /doors/addresses. */
export type DoorAddresses = Answer<typeof doors.DoorAddresses>

/** GET and PUT /retention. */
export type Retention = Answer<typeof retention.Retention>
export type RetentionRequest = Answer<typeof retention.NewRetention>

/** POST /session, its answer, and GET /session. */
export type SignInRequest = Answer<typeof access.SignIn>
export type SignedIn = Answer<typeof access.SignedIn>
export type Session = Answer<typeof access.Session>
/** GET /people, PUT /people/:name. */
export type Person = Answer<typeof access.Person>
export type PersonRequest = Answer<typeof access.NewPerson>
/** GET and PUT /preferences. */
export type Preferences = Answer<typeof preferences.Preferences>
export type PreferencesRequest = Answer<typeof preferences.NewPreferences>
/** GET /tokens, POST /tokens, and its answer. */
export type Token = Answer<typeof access.Token>
export type TokenRequest = Answer<typeof access.NewToken>
export type MadeToken = Answer<typeof access.MadeToken>
/** GET /changes. */
export type RecordedChange = Answer<typeof access.RecordedChange>

/** GET /notify; GET and PUT /notify/settings; POST /notify/settings/check; POST /notify/:channel/try. */
export type Channel = Answer<typeof notify.Channel>
export type NotifySettings = Answer<typeof notify.NotifySettings>
export type NotifySettingsRequest = Answer<typeof notify.NewNotifySettings>
export type NotifySettingsAnswer = { readonly findings: readonly Finding[] }
export type Trial = Answer<typeof notify.Trial>

/** GET /push/key; GET and POST /push/subscriptions. */
export type PushKey = Answer<typeof push.PushKey>
export type Device = Answer<typeof push.Device>
export type DeviceRequest = Answer<typeof push.NewDevice>

/** What GET /events sends, by the name of the event. */
export interface ChangeEvents {
  /** The first after a new connection: fetch the lists, then go by what comes. */
  readonly hello: Record<string, never>
  /** It can not be told what was missed: fetch anew. */
  readonly resync: Record<string, never>
  /** A sign of life every 3 s, with the time of the cellar: whoever hears none is cut off. */
  readonly beat: { readonly now_ms: number }
  /** A batch has changed; null: it is gone. */
  readonly batch: { readonly batch: string; readonly view: View | null }
  readonly alarm: {
    readonly change: 'raised' | 'acknowledged' | 'shelved' | 'unshelved' | 'returned' | 'cleared'
    readonly alarm: Alarm
    /** null: by itself. */
    readonly by: string | null
  }
}

type Answer<Schema extends TSchema> = ReadonlyDeep<Static<Schema>>
