import type { ApplianceReach, StorageProblem } from '@attemper/core/readiness/check.ts'
import type { Assumption } from '@attemper/core/rehearsal/from-now.ts'
import type {
  FastifyBaseLogger,
  FastifyInstance,
  FastifyTypeProvider,
  RawReplyDefaultExpression,
  RawRequestDefaultExpression,
  RawServerDefault,
} from 'fastify'
import type { Static, TSchema } from 'typebox'
import type { AlarmKeeper } from '../alarms/alarm-keeper.ts'
import type { Refusal, Report } from '../doors/report.ts'
import type { BatchView, Cellar } from '../live/cellar.ts'
import type { Clock } from '../live/clock.ts'
import type { Notifier } from '../notify/notifier.ts'
import type { Store, VesselRecord } from '../store/store.ts'
import type { Access } from './access/access.ts'
import type { DoorViews } from './door-views.ts'
import type { MetricFamily } from './metrics/open-metrics.ts'
import type { ReadonlyDeep } from './readonly-deep.ts'

/** What the HTTP interface needs; main.ts joins it. */
export interface HttpParts {
  readonly cellar: Cellar
  readonly store: Store
  readonly clock: Clock
  readonly access: Access
  readonly decode: Decode
  readonly alarms: AlarmKeeper
  readonly notifier: Notifier
  /** When the next transitions are expected, for the calendar. Left out: only what is known for certain. */
  readonly forecast?: Forecast
  /** Figures of other parts for /metrics. Their names begin with attemper_. */
  readonly figures?: () => readonly MetricFamily[]
  /** Left out: nothing is to be seen of the doors. */
  readonly doors?: DoorViews
  /** Opens a demonstration beside this cellar. Left out: it can not. */
  readonly demo?: { readonly isRunning: boolean; start(): Promise<string> }
  /** The folder of the built screens. Left out: there are none. */
  readonly screensDir?: string
  /** How the appliances of a vessel are reached. Left out: nothing is known of that. */
  readonly appliances?: (vessel: VesselRecord) => readonly ApplianceReach[]
  /** What the wall clock of this place is ahead of UTC. Left out: nothing. */
  readonly localOffset_s?: (at_ms: number) => number
  /** What keeps the records from being written, or soon will; null: nothing that is known. */
  readonly storageProblem?: () => StorageProblem | null
  /** Where a backup is written before it is fetched, on a disk with room for it. Left out: none can be fetched. */
  readonly copyFolder?: string
  /** Called when a backup has been made. */
  readonly onBackup?: () => void
  /** Called when how long readings are kept has been changed. */
  readonly onNewRetention?: () => void
  /** Told of faults that nobody has foreseen; those who asked see nothing of them. */
  readonly onFault?: (fault: unknown) => void
  /** Time between two signs of life on a stream of events, ms (real time: proxies and sockets wait in it). */
  readonly heartbeat_ms?: number
}

/** What was sent as readings, in one of the forms that the doors understand. */
export type Decode = (
  contentType: string,
  body: Buffer,
  context: { readonly vessel?: string; readonly mapping?: string; readonly now_ms: number },
) => { readonly reports: readonly Report[]; readonly refused: readonly Refusal[] }

/** The transitions that are expected from now on, in the order of time. */
export type Forecast = (
  view: BatchView,
) => readonly ExpectedTransition[] | Promise<readonly ExpectedTransition[]>

export interface ExpectedTransition {
  readonly from: string
  /** null: the batch is complete. */
  readonly to: string | null
  readonly at_ms: number
  /** Between these it comes with nine chances in ten. */
  readonly earliest_ms?: number
  readonly latest_ms?: number
  /** What is taken to happen first: the batch is held. Left out: nothing. */
  readonly assumes?: Assumption
}

/** One schema is the type, the check and the documentation of what comes in and of what goes out. */
interface TypeBoxSchemas extends FastifyTypeProvider {
  validator: this['schema'] extends TSchema ? Static<this['schema']> : unknown
  serializer: this['schema'] extends TSchema ? ReadonlyDeep<Static<this['schema']>> : unknown
}

export type HttpApp = FastifyInstance<
  RawServerDefault,
  RawRequestDefaultExpression<RawServerDefault>,
  RawReplyDefaultExpression<RawServerDefault>,
  FastifyBaseLogger,
  TypeBoxSchemas
>
