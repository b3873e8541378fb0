import type { Fault } from '@attemper/core/world/faults/fault.ts'
import type { Cellar } from '@attemper/server/live/cellar.ts'
import { Draws } from './draws.ts'
import type { House } from './house.ts'
import type { Spot } from './spot.ts'
import { drawBeer, drawPlan } from './texts.ts'

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS

interface PageOf {
  readonly batch: string
  readonly questions: readonly number[]
}

/** The brewers of a house: they start beers, answer, hold, change their minds, click twice, and act on pages of yesterday. */
export class People {
  readonly #house: House
  readonly #draws: Draws
  /** What somebody still has open on a telephone, by vessel. */
  readonly #pages = new Map<string, PageOf>()
  #requests = 0

  constructor(house: House) {
    this.#house = house
    this.#draws = new Draws(house.seed, 3)
    house.onTwin = twin => this.#comesBy(twin, this.#draws.between(0, 6 * HOUR_MS))
    for (const spot of house.spots) this.#comesBy(spot, this.#draws.between(0, 6 * HOUR_MS))
  }

  #comesBy(spot: Spot, wait_ms: number): void {
    this.#house.queue.after(wait_ms, () => {
      this.#visit(spot)
      this.#comesBy(spot, this.#draws.wait(14 * HOUR_MS))
    })
  }

  #by(): string {
    return `${this.#draws.pick(['Kim', 'Sam'])} ${++this.#requests}`
  }

  #visit(spot: Spot): void {
    const { life } = this.#house
    if (life === null) return
    this.#house.isStirred = true
    const open = this.#house.ask('looks for the batch', cellar => cellar.batchIn(spot.name))
    if (open === null) {
      if (spot.batch !== null) this.#batchIsOver(spot)
      else this.#start(spot)
      return
    }
    spot.batch = open
    this.#acknowledgeAlarms()
    this.#deal(spot, open)
  }

  #batchIsOver(spot: Spot): void {
    // Whoever comes by and sees that nobody keeps it (any more) asks once; then the vessel is emptied.
    const { batch } = spot
    if (batch === null || this.#house.life === null) return
    const record = this.#house.ask('looks at the record', () => this.#house.life!.store.batch(batch))
    if (record !== null && record.ended_ms === null) {
      if (this.#draws.chance(0.3))
        this.#request(spot, batch, 'note', (cellar, by) => cellar.note(batch, 'Who looks after it?', by))
      if (this.#draws.chance(0.2)) this.#request(spot, batch, 'stop', (cellar, by) => cellar.stop(batch, by))
      return
    }
    this.#house.empty(spot)
  }

  #start(spot: Spot): void {
    const draws = this.#draws
    const planText = drawPlan(draws)
    const beerText = drawBeer(draws)
    const start = () =>
      this.#house.ask('starts a batch', cellar =>
        cellar.startBatch({ vessel: spot.name, planText, beerText, overrule: 'it is so' }, this.#by()),
      )
    const before = this.#house.queue.now_ms
    spot.believed_ms = before
    spot.unheard = 0
    const answer = start()
    if (draws.chance(0.1)) {
      this.#house.story.fault('clicked twice', `starts a batch in ${spot.name} twice`)
      start()
    }
    // Killed in the middle of it, the batch may have been created all the same: whoever comes by next will see.
    if (answer?.batch === null) {
      this.#house.story.tell(
        `not started: ${answer.findings
          .map(({ message }) => message)
          .join(' ')
          .slice(0, 300)}`,
      )
      return
    }
    if (answer === null) return
    spot.batch = answer.batch
    this.#house.pitch(spot, beerText, this.#worldFaults(spot))
  }

  /** What will go wrong with the beer and its room: hot days, doors, dead and welded contacts. */
  #worldFaults(spot: Spot): readonly Fault[] {
    const { queue, story } = this.#house
    const draws = this.#draws
    const faults: Fault[] = []
    const between = (mostDays: number) => {
      const from_s = Math.floor((queue.now_ms + draws.between(0, 12 * DAY_MS)) / 1000)
      return { from_s, to_s: from_s + Math.floor(draws.between(0.02, mostDays) * 86_400) }
    }
    if (draws.chance(0.2)) faults.push({ kind: 'room warmer', by_K: draws.pick([-8, 8, 14]), ...between(4) })
    if (draws.chance(0.1)) faults.push({ kind: 'door open', factor: 8, ...between(0.3) })
    if (draws.chance(0.1))
      faults.push({ kind: 'fermentation stuck', atShare: draws.between(0.1, 0.6), ...between(20) })
    if (draws.chance(0.08)) faults.push({ kind: draws.pick(['heater dead', 'cooler dead']), ...between(3) })
    if (draws.chance(0.05))
      faults.push({ kind: draws.pick(['heater welded', 'cooler welded']), ...between(1) })
    for (const fault of faults) {
      story.fault(fault.kind, `in ${spot.name}`)
      if (!/welded|dead/.test(fault.kind)) continue
      queue.at(fault.from_s * 1000, () => {
        spot.broken_ms = fault.to_s * 1000
      })
    }
    return faults
  }

  #deal(spot: Spot, batch: string): void {
    const draws = this.#draws
    const view = this.#house.ask('looks at a batch', cellar => cellar.view(batch))
    if (view === null) return
    const page = this.#pages.get(spot.name)
    const { state, questions } = view
    if (page === undefined || draws.chance(0.5)) {
      this.#pages.set(spot.name, { batch, questions: questions.map(({ id }) => id) })
    } else if (draws.chance(0.15)) this.#actOnOldPage(spot, page)
    for (const { id } of questions) {
      if (draws.chance(0.7)) this.#answer(spot, batch, id, draws.chance(0.8) ? 'yes' : 'not yet')
    }
    const days = (this.#house.queue.now_ms - spot.pitched_ms) / DAY_MS
    if (state.batch === 'complete' ? draws.chance(0.025) : days > 50) {
      this.#request(spot, batch, 'stop', (cellar, by) => cellar.stop(batch, by))
      return
    }
    if (state.batch === 'held' && draws.chance(0.6)) {
      this.#request(spot, batch, 'resume', (cellar, by) => cellar.resume(batch, by))
    }
    if (draws.chance(0.2)) this.#whim(spot, batch)
  }

  #answer(spot: Spot, batch: string, id: number, answer: 'yes' | 'not yet'): void {
    this.#request(spot, batch, 'answer', (cellar, by) => cellar.answer(batch, id, answer, by))
    if (!this.#draws.chance(0.15)) return
    this.#house.story.fault('clicked twice', `answers question ${id} of ${batch} twice`)
    this.#request(spot, batch, 'answer', (cellar, by) => cellar.answer(batch, id, answer, by))
  }

  #whim(spot: Spot, batch: string): void {
    const draws = this.#draws
    const what = draws.pick([
      'note',
      'note',
      'note',
      'hold',
      'hold',
      'hold',
      'go to',
      'gravity',
      'gravity',
      'plan',
      'why',
      'why',
      'abort',
    ])
    this.#house.story.count(`person: ${what}`)
    switch (what) {
      case 'note':
        this.#request(spot, batch, what, (cellar, by) => cellar.note(batch, 'It smells of bananas.', by))
        return
      case 'hold':
        this.#request(spot, batch, what, (cellar, by) => cellar.hold(batch, by))
        return
      case 'go to': {
        const stage = draws.pick(['Primary', 'Warm finish', 'Crash', 'Nowhere'])
        this.#request(spot, batch, what, (cellar, by) => cellar.goTo(batch, stage, by))
        return
      }
      case 'gravity': {
        const gravity = draws.pick([1.048, 1.052, 1.3, 0.9, Number.NaN])
        this.#request(spot, batch, what, (cellar, by) => cellar.originalGravity(batch, gravity, by))
        return
      }
      case 'plan': {
        const text = draws.chance(0.7) ? drawPlan(draws) : 'plan: nothing\nstages: [}'
        this.#house.ask('changes the plan', cellar => cellar.changePlan(batch, text, this.#by()))
        return
      }
      case 'why':
        this.#house.ask('asks why', cellar =>
          cellar.why(batch, draws.pick(['heater', 'cooler', 'thermostat'])),
        )
        return
      case 'abort':
        if (draws.chance(0.2)) this.#request(spot, batch, what, (cellar, by) => cellar.abort(batch, by))
    }
  }

  /** What was on the page may have been answered, stopped or followed by another batch since. */
  #actOnOldPage(spot: Spot, { batch, questions }: PageOf): void {
    this.#house.story.fault('old page', `acts on ${batch} as it was`)
    for (const id of questions)
      this.#request(spot, batch, 'answer', (cellar, by) => cellar.answer(batch, id, 'yes', by))
    const what = this.#draws.pick(['hold', 'resume', 'note'] as const)
    this.#request(spot, batch, what, (cellar, by) => {
      if (what === 'note') cellar.note(batch, 'Tastes clean.', by)
      else cellar[what](batch, by)
    })
  }

  #request(spot: Spot, batch: string, what: string, request: (cellar: Cellar, by: string) => void): void {
    const by = this.#by()
    const done = this.#house.ask(`${what} (${by}, ${spot.name})`, cellar => {
      request(cellar, by)
      return true
    })
    if (done === null) return
    this.#house.story.tell(`${by}: ${what} ${batch}`)
    this.#house.ledger.promised(batch, by)
  }

  #acknowledgeAlarms(): void {
    const alarms = this.#house.life?.alarms
    if (alarms === undefined) return
    for (const { id, state } of alarms.list()) {
      if (state !== 'active' && state !== 'returned') continue
      if (this.#draws.chance(0.6))
        this.#house.ask('sees an alarm', (_, life) => life.alarms.acknowledge(id, this.#by()))
    }
  }
}
