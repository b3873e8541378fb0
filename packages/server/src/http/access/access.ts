import type { Clock } from '../../live/clock.ts'
import type { Store } from '../../store/store.ts'
import { isLoopback } from './loopback.ts'
import type { Outside } from './outside.ts'
import { People } from './people.ts'
import { Revocations } from './revocations.ts'
import { Sessions } from './sessions.ts'
import { SignIns } from './sign-ins.ts'
import { Tokens } from './tokens.ts'

export interface AccessSettings {
  /** What the server is bound to, as given to listen(). */
  readonly host: string
  /** Used until the server listens and knows its port (0: any). */
  readonly port: number
  /** How it is reached through a proxy. Left out or null: it is not. */
  readonly outside?: Outside | null
  /** Texts of the certificate and key files (PEM). */
  readonly tls?: { readonly cert: string; readonly key: string }
}

/** Who may do what; made once at the start. The MQTT door asks it too. */
export interface Access {
  readonly settings: AccessSettings
  /** Bound to loopback, without a proxy in front: whoever is at this machine may do everything. */
  readonly open: boolean
  readonly people: People
  readonly sessions: Sessions
  readonly tokens: Tokens
  readonly signIns: SignIns
  /** Told when somebody may do less than before. */
  readonly revocations: Revocations
}

export function openAccess(store: Store, clock: Clock, settings: AccessSettings): Access {
  const revocations = new Revocations()
  const people = new People(store, clock, revocations)
  return {
    settings,
    open: isLoopback(settings.host) && (settings.outside ?? null) === null,
    people,
    sessions: new Sessions(store, clock, people, revocations),
    tokens: new Tokens(store, clock, revocations),
    signIns: new SignIns(people, store, clock),
    revocations,
  }
}
