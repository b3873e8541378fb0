import { Draws } from './draws.ts'
import type { House } from './house.ts'
import type { Mood } from './instrument.ts'
import type { Spot } from './spot.ts'
import { coilDoor, type VesselTexts } from './texts.ts'

const MINUTE_MS = 60_000
const HOUR_MS = 60 * MINUTE_MS
const DAY_MS = 24 * HOUR_MS

interface Mishap {
  readonly kind: string
  /** How often it happens in a house, a year; far more often than anywhere, so that many happen together. */
  readonly perYear: number
  readonly happen: (house: House, draws: Draws) => void
}

const MOODS: readonly Mood[] = [
  'silent',
  'stuck',
  '85 °C',
  '-127 °C',
  'doubled',
  'late',
  'out of order',
  'from the past',
  'from the future',
  'garbage',
]

/** Everything that goes wrong beside what befalls single messages and what people do. */
const MISHAPS: readonly Mishap[] = [
  ...MOODS.map(
    (mood): Mishap => ({
      kind: `instrument ${mood}`,
      perYear: 6,
      happen: (house, draws) => {
        const spot = draws.pick(house.spots)
        const instrument = draws.pick(spot.instruments)
        instrument.mood = mood
        const lasts_ms = draws.scale(10 * MINUTE_MS, 2 * DAY_MS)
        instrument.moodUntil_ms = house.queue.now_ms + lasts_ms
        house.story.fault(`instrument ${mood}`, `${instrument.name} of ${spot.name}, for ${sayFor(lasts_ms)}`)
      },
    }),
  ),
  {
    kind: 'killed',
    perYear: 5,
    happen: (house, draws) => {
      const away_ms = draws.scale(5_000, 8 * HOUR_MS)
      house.story.fault('killed', `for ${sayFor(away_ms)}`)
      house.restartAfter(away_ms)
    },
  },
  {
    kind: 'killed in a write',
    perYear: 6,
    happen: (house, draws) => {
      house.disk.writesToKill = draws.whole(0, 20)
      house.disk.killsAfterWrite = draws.chance(0.5)
      house.story.fault('killed in a write', `at write ${house.disk.writesToKill} from now`)
    },
  },
  {
    kind: 'killed, and the clock is wrong',
    perYear: 5,
    happen: (house, draws) => {
      const away_ms = draws.scale(5_000, 2 * HOUR_MS)
      const ahead_ms = draws.pick([-1, -1, -1, 1]) * draws.scale(2 * MINUTE_MS, 400 * DAY_MS)
      house.story.fault(
        'killed, and the clock is wrong',
        `for ${sayFor(away_ms)}, then ${sayFor(ahead_ms)} ahead`,
      )
      house.kill()
      house.queue.after(away_ms, () => {
        house.host.ahead_ms = ahead_ms
        house.boot()
      })
      putRightAfter(house, away_ms + draws.scale(MINUTE_MS, 12 * HOUR_MS))
    },
  },
  {
    kind: 'clock jumps',
    perYear: 6,
    happen: (house, draws) => {
      const by_ms = draws.pick([-1, 1]) * draws.scale(10_000, 30 * DAY_MS)
      house.story.fault('clock jumps', `by ${sayFor(by_ms)}`)
      house.host.ahead_ms = by_ms
      putRightAfter(house, draws.scale(MINUTE_MS, 12 * HOUR_MS))
    },
  },
  {
    kind: 'summer time',
    perYear: 3,
    happen: (house, draws) => {
      const by_ms = draws.pick([-1, 1]) * HOUR_MS
      house.story.fault('summer time', `the machine's clock is set by ${sayFor(by_ms)}`)
      house.host.ahead_ms = by_ms
      putRightAfter(house, draws.between(HOUR_MS, 3 * DAY_MS))
    },
  },
  {
    kind: 'disk full',
    perYear: 4,
    happen: (house, draws) => {
      const lasts_ms = draws.scale(MINUTE_MS, 12 * HOUR_MS)
      house.story.fault('disk full', `for ${sayFor(lasts_ms)}`)
      house.disk.isFull = true
      house.queue.after(lasts_ms, () => {
        house.disk.isFull = false
      })
    },
  },
  {
    kind: 'file gone',
    perYear: 6,
    happen: (house, draws) => {
      if (!house.disk.isFile || house.disk.isAway) return
      const lasts_ms = draws.scale(MINUTE_MS, 12 * HOUR_MS)
      house.story.fault('file gone', `the records are moved away for ${sayFor(lasts_ms)}`)
      house.disk.moveAway(true)
      house.queue.after(lasts_ms, () => house.disk.moveAway(false))
    },
  },
  { kind: 'power cut', perYear: 3, happen: powerCut },
  {
    kind: 'network cut',
    perYear: 8,
    happen: (house, draws) => {
      const spot = draws.pick(house.spots)
      const lasts_ms = draws.scale(MINUTE_MS, 12 * HOUR_MS)
      house.story.fault('network cut', `to the appliances of ${spot.name}, for ${sayFor(lasts_ms)}`)
      setCut(house, spot, true)
      house.queue.after(lasts_ms, () => setCut(house, spot, false))
    },
  },
  {
    kind: 'broker restarts',
    perYear: 6,
    happen: (house, draws) => {
      if (!house.broker.isOwnProgram) return
      const lasts_ms = draws.scale(5_000, 4 * HOUR_MS)
      house.story.fault('broker restarts', `away for ${sayFor(lasts_ms)}`)
      house.broker.isDown = true
      house.queue.after(lasts_ms, () => {
        house.broker.isDown = false
        for (const line of house.broker.lines) house.broker.reconnect(line)
      })
    },
  },
  {
    kind: 'device restarts',
    perYear: 12,
    happen: (house, draws) => {
      const spot = draws.pick(house.spots)
      const part = draws.pick(['heater', 'cooler'] as const)
      house.story.fault('device restarts', `${part} of ${spot.name}`)
      spot.devices.get(part)!.restart()
      const line = spot.lines.get(part)
      if (line !== undefined) house.broker.reconnect(line)
    },
  },
  {
    kind: 'stale command',
    perYear: 8,
    happen: (house, draws) => {
      const spot = draws.pick(house.spots)
      const part = draws.pick(['heater', 'cooler'] as const)
      const line = spot.lines.get(part)
      const text = line === undefined ? undefined : house.broker.retained(line.topic)
      if (line === undefined || text === undefined) return
      const later_ms = draws.scale(MINUTE_MS, 2 * DAY_MS)
      house.queue.after(later_ms, () => {
        house.story.fault(
          'stale command',
          `${part} of ${spot.name} hears what was told ${sayFor(later_ms)} ago`,
        )
        house.broker.replay(line, text, true)
      })
    },
  },
  {
    kind: 'device clock wrong',
    perYear: 6,
    happen: (house, draws) => {
      const spot = draws.pick(house.spots)
      const device = spot.devices.get(draws.pick(['heater', 'cooler'] as const))!
      if (device.kind !== 'keeps its lease') return
      device.ahead_s = draws.pick([Number.NaN, -3600, -30, 30, 600, 86_400])
      house.story.fault('device clock wrong', `${spot.name}: ${device.ahead_s} s ahead`)
      spot.clockWrong_ms = house.queue.now_ms + 12 * HOUR_MS
      house.queue.after(draws.scale(HOUR_MS, 12 * HOUR_MS), () => {
        device.ahead_s = 0
      })
    },
  },
  {
    kind: 'text damaged',
    perYear: 0.7,
    happen: (house, draws) => {
      const open = house.spots.filter(({ batch }) => batch !== null)
      if (open.length === 0) return
      const spot = draws.pick(open)
      const away_ms = draws.scale(5_000, HOUR_MS)
      house.story.fault(
        'text damaged',
        `the plan of ${spot.batch} can not be read any more; killed for ${sayFor(away_ms)}`,
      )
      house.kill()
      house.damage(spot)
      house.queue.after(away_ms, () => house.boot())
    },
  },
  { kind: 'names collide', perYear: 1.5, happen: namesCollide },
  {
    kind: 'medium holds',
    perYear: 300,
    happen: house => house.mark(),
  },
]

/** Lets them happen at random, from the beginning of the story to its end. */
export function startMishaps(house: House): void {
  MISHAPS.forEach((mishap, number) => {
    const draws = new Draws(house.seed, 100 + number)
    const wait = () => draws.wait((365 * DAY_MS) / mishap.perYear)
    const again = () => {
      mishap.happen(house, draws)
      house.queue.after(wait(), again)
    }
    house.queue.after(wait(), again)
  })
}

function sayFor(span_ms: number): string {
  const seconds = Math.round(span_ms / 1000)
  if (Math.abs(seconds) < 120) return `${seconds} s`
  if (Math.abs(seconds) < 7200) return `${Math.round(seconds / 60)} min`
  return Math.abs(seconds) < 172_800
    ? `${(seconds / 3600).toFixed(1)} h`
    : `${(seconds / 86_400).toFixed(1)} d`
}

function putRightAfter(house: House, wait_ms: number): void {
  house.queue.after(wait_ms, () => {
    house.host.ahead_ms = 0
    house.story.tell("the machine's clock is put right")
  })
}

function setCut(house: House, spot: Spot, isCut: boolean): void {
  spot.coilCut_ms = house.queue.now_ms
  for (const device of spot.devices.values()) if (device.kind === 'coil') device.isCutOff = isCut
  for (const line of spot.lines.values()) {
    if (isCut) house.broker.cut(line)
    else house.broker.reconnect(line)
  }
}

/** The whole house is dark: cellar, devices and instruments; on some machines the clock is wrong afterwards, and the tail of the records lost. */
function powerCut(house: House, draws: Draws): void {
  const lasts_ms = draws.scale(2_000, 12 * HOUR_MS)
  const isTorn = house.disk.isFile && !house.disk.isAway && draws.chance(0.7)
  const hasClock = draws.chance(0.5)
  house.story.fault('power cut', `for ${sayFor(lasts_ms)}${hasClock ? '' : ', and the clock stands still'}`)
  house.hasPower = false
  house.kill()
  for (const spot of house.spots) for (const device of spot.devices.values()) device.power(false)
  if (isTorn) {
    const lost = house.tear(draws.uniform())
    house.story.fault('tail torn off', `${lost} bytes of the records are lost`)
  }
  house.queue.after(lasts_ms, () => {
    house.hasPower = true
    for (const spot of house.spots) {
      for (const device of spot.devices.values()) device.power(true)
      for (const line of spot.lines.values()) house.broker.reconnect(line)
    }
    if (!hasClock) {
      house.host.ahead_ms = -lasts_ms - draws.scale(MINUTE_MS, HOUR_MS)
      putRightAfter(house, draws.scale(MINUTE_MS, 6 * HOUR_MS))
    }
    house.queue.after(draws.between(5_000, 60_000), () => house.boot())
  })
}

/** A brewer calls a new vessel almost like one that is there, or wires it to the same coils. */
function namesCollide(house: House, draws: Draws): void {
  if (house.life === null || house.spots.length > 4) return
  const first = draws.pick(house.spots)
  const onCoils = first.lines.size === 0
  const name = onCoils ? `${first.name} twin` : first.name.replace(' ', '-')
  if (house.spots.some(each => each.name === name)) return
  const line = Number(/coil: (\d+)/.exec(first.texts.doors)?.[1] ?? 0)
  const texts: VesselTexts = {
    ...first.texts,
    name,
    text: first.texts.text.replace(/^vessel: .*$/m, `vessel: ${name}`),
    doors: onCoils ? `heater: ${coilDoor(line)}\ncooler: ${coilDoor(line + 1)}\n` : first.texts.doors,
  }
  house.story.fault('names collide', `${name} is added beside ${first.name}`)
  const added = house.ask('adds a vessel', cellar => cellar.putVessel(texts.text, texts.doors, 'Sam'))
  if (added !== null) house.addTwin(texts, first)
}
