/**
 * The one place where the screens keep what they know of the cellar: how each batch stands, what rings, who looks, and
 * since when nothing has been heard. Screens read it; nobody but this file writes it.
 */
import type {
  Alarm,
  ChangeEvents,
  ListedBatch,
  Session,
  Vessel,
  View,
} from '@attemper/server/http/published.ts'
import { SvelteMap } from 'svelte/reactivity'
import * as api from '../api/cellar-api.ts'
import { Trouble } from '../api/request.ts'
import { forgetPicture, keepPicture, keptPicture } from './last-picture.ts'
import { preferences } from './preferences.svelte.ts'
import { isSilent } from './silence.ts'

/** How often a cellar that is out of reach is looked for. */
const AGAIN_ms = 3000
/** How often what is seen is kept for the time when the cellar is out of reach. */
const KEEP_ms = 20_000

/**
 * `beginning`: nothing heard yet. `live`: what is shown is how it is. `cut off`: the cellar does not answer, and what is
 * shown is how it was. `closed`: it asks who this is.
 */
export type Connection = 'beginning' | 'live' | 'cut off' | 'closed'

/** A batch that the cellar cannot show (null) must not hide the others. */
async function viewOf(batch: string): Promise<View | null> {
  try {
    return await api.view(batch)
  } catch (error) {
    if (error instanceof Trouble && (error.code === 'not-kept' || error.code === 'has-errors')) return null
    throw error
  }
}

class CellarState {
  connection = $state<Connection>('beginning')
  session = $state.raw<Session | null>(null)
  vessels = $state.raw<readonly Vessel[]>([])
  /** By the id of the batch; ended ones too. */
  readonly views = new SvelteMap<string, View>()
  /** Batches that could not be taken up: nobody looks after them. */
  unkept = $state.raw<readonly ListedBatch[]>([])
  alarms = $state.raw<readonly Alarm[]>([])
  /** The cellar's time now, which may run faster than that of this machine; set forward once in a second. */
  now_ms = $state(Date.now())
  /** The cellar's time when it was last heard of: what is shown was so then, and nothing is known since. */
  heard_ms = $state<number | null>(null)
  /** How many seconds of the cellar pass in one here. */
  speed = $state(1)

  #clock: { readonly cellar_ms: number; readonly here_ms: number } | null = null
  /** This machine's clocks when the cellar was last heard. */
  #heardHere = { running_ms: 0, wall_ms: 0 }
  #stream: EventSource | null = null
  #looking = false
  #looked_ms = 0

  /** The cellar's time up to which anything is known; it stands still while the cellar is out of reach. */
  get known_ms(): number {
    return this.connection === 'cut off' ? (this.heard_ms ?? this.now_ms) : this.now_ms
  }

  /** Whether whoever looks may change things. */
  get mayChange(): boolean {
    return this.session?.role === 'brewer'
  }

  get running(): readonly View[] {
    return [...this.views.values()].filter(({ batch }) => batch.ended_ms === null)
  }

  /** The batch that runs in a vessel, or null. */
  runningIn(vessel: string): View | null {
    return this.running.find(({ batch }) => batch.vessel === vessel) ?? null
  }

  /** Begins to listen; returns how to end it. */
  follow(): () => void {
    void this.#lookAgain()
    const again = setInterval(() => void this.#lookAgain(), AGAIN_ms)
    const tick = setInterval(() => this.#tick(), 1000)
    const keep = setInterval(() => this.#keep(), KEEP_ms)
    // A page that slept in the background must not claim for a moment what it knew when it fell asleep.
    const wake = () => this.#tick()
    for (const name of WAKING) document.addEventListener(name, wake)
    return () => {
      clearInterval(keep)
      clearInterval(again)
      clearInterval(tick)
      for (const name of WAKING) document.removeEventListener(name, wake)
      this.#endStream()
    }
  }

  /** Fetches everything anew. */
  async refresh(): Promise<void> {
    try {
      this.#setClock(await api.health())
      this.session = await api.session()
      const [vessels, batches, alarms] = await Promise.all([
        api.vessels(),
        api.batches(),
        api.alarms(),
        preferences.load(),
      ])
      const views = (await Promise.all(batches.map(({ id }) => viewOf(id)))).filter(view => view !== null)
      this.vessels = vessels
      this.unkept = batches.filter(({ unkept }) => unkept !== null)
      this.alarms = alarms
      const there = new Set(views.map(({ batch }) => batch.id))
      for (const id of this.views.keys()) if (!there.has(id)) this.views.delete(id)
      for (const view of views) this.#take(view)
      this.#heard()
      this.#keep()
      this.#listen()
    } catch (error) {
      this.#lost(error)
    }
  }

  async refreshVessels(): Promise<void> {
    this.vessels = await api.vessels()
  }

  #listen(): void {
    if (this.#stream !== null && this.#stream.readyState !== EventSource.CLOSED) return
    const stream = new EventSource('./events')
    this.#stream = stream
    const on = <Name extends keyof ChangeEvents>(name: Name, take: (event: ChangeEvents[Name]) => void) =>
      stream.addEventListener(name, message => {
        this.#heard()
        take(JSON.parse((message as MessageEvent<string>).data) as ChangeEvents[Name])
      })
    on('hello', () => undefined)
    on('resync', () => void this.refresh())
    on('beat', ({ now_ms }) => {
      this.#setClock({ now_ms, speed: this.speed })
      this.heard_ms = now_ms
    })
    on('batch', ({ batch, view }) => {
      if (view === null) this.views.delete(batch)
      else this.#take(view)
      // It has been taken up, or has ended.
      if (this.unkept.some(({ id }) => id === batch)) void this.refresh()
    })
    on('alarm', ({ alarm, change }) => {
      const others = this.alarms.filter(({ id }) => id !== alarm.id)
      this.alarms = change === 'cleared' ? others : [alarm, ...others]
    })
    // It is not left to itself to go on: what it missed of the alarms would be missing for good.
    stream.addEventListener('error', () => {
      this.#endStream()
      if (here().running_ms - this.#looked_ms > AGAIN_ms) void this.#lookAgain()
    })
  }

  /** Asks anew for everything when the stream of events is not there: it has ended, or it is silent. */
  async #lookAgain(): Promise<void> {
    const isThere = this.connection === 'live' && this.#stream?.readyState === EventSource.OPEN
    if (isThere || this.#looking || this.connection === 'closed') return
    this.#looking = true
    this.#looked_ms = here().running_ms
    await this.refresh()
    this.#looking = false
  }

  /** What has been silent for longer than the cellar ever is, is dead, whatever the browser believes of it. */
  #endSilentStream(): void {
    if (this.connection !== 'live' || !isSilent(this.#heardHere, here())) return
    this.#endStream()
    this.connection = 'cut off'
    void this.#lookAgain()
  }

  #endStream(): void {
    this.#stream?.close()
    this.#stream = null
  }

  #take(view: View): void {
    const known = this.views.get(view.batch.id)
    if (known === undefined || known.now_ms <= view.now_ms) this.views.set(view.batch.id, view)
  }

  #lost(error: unknown): void {
    if (!(error instanceof Trouble)) throw error
    if (error.status === 401) {
      this.session = null
      this.connection = 'closed'
      forgetPicture()
      this.#endStream()
      return
    }
    if (this.connection === 'beginning') this.#recall()
    this.connection = 'cut off'
  }

  /** Shows how it was when it was last seen. */
  #recall(): void {
    const kept = keptPicture()
    if (kept === null) return
    this.vessels = kept.vessels
    this.alarms = kept.alarms
    for (const view of kept.views) this.#take(view)
    this.speed = kept.speed
    this.heard_ms = kept.heard_ms
    this.#clock = {
      cellar_ms: kept.heard_ms + (Date.now() - kept.here_ms) * kept.speed,
      here_ms: performance.now(),
    }
    this.#tick()
  }

  #keep(): void {
    if (this.connection !== 'live' || this.heard_ms === null) return
    keepPicture({
      heard_ms: this.heard_ms,
      here_ms: Date.now(),
      speed: this.speed,
      vessels: this.vessels,
      views: this.running.slice(),
      alarms: this.alarms,
    })
  }

  #heard(): void {
    if (this.connection === 'closed' && this.session === null) return
    this.#heardHere = here()
    this.connection = 'live'
    this.#tick()
    this.heard_ms = this.now_ms
  }

  #setClock({ now_ms, speed }: { readonly now_ms: number; readonly speed: number }): void {
    this.#clock = { cellar_ms: now_ms, here_ms: performance.now() }
    this.speed = speed
    this.now_ms = now_ms
  }

  #tick(): void {
    this.#endSilentStream()
    if (this.#clock === null) return
    this.now_ms = this.#clock.cellar_ms + (performance.now() - this.#clock.here_ms) * this.speed
  }
}

const WAKING = ['visibilitychange', 'resume'] as const

const here = () => ({ running_ms: performance.now(), wall_ms: Date.now() })

export const cellar = new CellarState()
