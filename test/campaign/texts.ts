import type { Draws } from './draws.ts'

/** What is fixed about one vessel of a story. */
export interface VesselTexts {
  readonly name: string
  readonly text: string
  readonly doors: string
  /** How long its instruments stay quiet when nothing has moved. */
  readonly quiet_s: number
  readonly floatQuiet_s: number
  readonly lease_s: number
  readonly rest_s: number
}

/** Where a coil of a vessel answers; nobody is connected to, as the simulated coils stand in for it. */
export function coilDoor(line: number): string {
  return `{ modbus: { host: 127.0.0.1, port: 1502, coil: ${line} } }`
}

/** A fridge, like that of the examples, with everything drawn that a brewer could have otherwise. */
export function drawVessel(
  name: string,
  line: number,
  draws: Draws,
): VesselTexts & { readonly onCoils: boolean } {
  const onCoils = draws.chance(0.3)
  // Most report each change at once and otherwise rarely; some report all the time.
  const quiet_s = draws.chance(0.01) ? 90 : draws.pick([3600, 7200, 7200, 10_800])
  const floatQuiet_s = draws.pick([14_400, 21_600])
  const lease_s = draws.chance(0.02) ? 900 : draws.pick([7200, 14_400, 14_400, 14_400])
  const rest_s = draws.pick([180, 300, 600])
  const band_K = draws.pick([0.4, 0.8, 1])
  const volume_L = draws.pick([10, 20, 20, 25])
  const room_C = Math.round(draws.between(8, 26))
  const second = draws.chance(0.3)
    ? `  - instrument: Second probe
    every: 15 min
    timeout: ${Math.max(1800, 3 * quiet_s)} s
    measures:
      beer: { noise: 0.03 °C, resolution: 0.0625 °C, bias: 0 °C ± 0.2 °C, lag: 90 s }
`
    : ''
  const text = `vessel: ${name}
beer: ${volume_L} L

heat paths:
  beer to wall: 12 W/°C ± 20 %
  wall stores: 3 kJ/°C ± 20 %
  wall to air: 4 W/°C ± 20 %
  air stores: 9 kJ/°C ± 30 %
  air to room: 1.6 W/°C ± 15 %

room: { average: ${room_C} °C ± 1 °C, daily swing: ${draws.pick([1, 3, 5])} °C ± 1 °C, warmest at: "16:00" }

heater:
  power: ${draws.pick([25, 30, 40])} W ± 5 %
  stores: 0.4 kJ/°C
  to wall: 3 W/°C
  to air: 0.5 W/°C

cooler:
  power: 160 W ± 15 %
  coldest: -18 °C
  stores: 4 kJ/°C
  to air: 8 W/°C
  rests at least: ${rest_s} s
  runs at least: 3 min

instruments:
  - instrument: Probe
    every: 15 min
    timeout: ${Math.max(1800, 3 * quiet_s)} s
    measures:
      beer: { noise: 0.03 °C, resolution: 0.0625 °C, bias: 0 °C ± 0.2 °C, lag: 60 s }
${second}  - instrument: Float
    every: ${floatQuiet_s} s
    measures:
      gravity: { noise: 0.7 points, resolution: 0.1 points, bias: 0 points ± 1.5 points, foam: 3 points }
      beer: { noise: 0.1 °C, resolution: 0.1 °C, bias: 0 °C ± 0.4 °C, lag: 10 min }

control: { method: on-off, heat: { start: ${band_K} °C, stop: 0 °C }, cool: { start: ${band_K} °C, stop: 0 °C } }
interlocks: { changeover: 10 min, command lasts: ${lease_s} s }
`
  const doors = onCoils
    ? `heater: ${coilDoor(line)}\ncooler: ${coilDoor(line + 1)}\n`
    : 'heater: mqtt\ncooler: mqtt\n'
  return { name, text, doors, quiet_s, floatQuiet_s, lease_s, rest_s, onCoils }
}

/** An ale that takes a week or two, warmed at its end and chilled. */
export function drawPlan(draws: Draws): string {
  const late = draws.pick(['ask', 'ask', 'go on', 'hold'])
  const hold_C = Math.round(draws.between(16, 20))
  const asks = draws.chance(0.6) ? '    ask first: Does it taste clean?\n' : ''
  const task = draws.chance(0.3)
    ? '    tasks:\n      - { task: Add dry hops, when: { stage lasted: 12 h } }\n'
    : ''
  return `plan: Ale ${hold_C}
limits: { lowest: 1 °C, highest: ${draws.pick([23, 24, 26])} °C${draws.chance(0.3) ? ', if broken: switch off' : ''} }

stages:
  - stage: Primary
    hold: ${hold_C} °C
    until: { gravity: { above final: ${draws.pick([8, 10, 14])} points } }
    at most: ${draws.whole(4, 8)} d
    if late: ${late}
    if unknown: { wait: 12 h, then: ask }
${task}
  - stage: Warm finish
    ramp: { to: ${hold_C + 2} °C, over: ${draws.pick([12, 24, 36])} h }
    until:
      all:
        - gravity: { steady within: 1.5 points, for: 24 h }
        - stage lasted: 36 h
${asks}    at most: ${draws.whole(4, 7)} d
    if late: ${late}
    if unknown: { wait: 12 h, then: ask }

  - stage: Crash
    ramp: { to: 4 °C, at: ${draws.pick([0.5, 1])} °C/h }
    until: { beer: { at most: 5 °C }, lasting: 12 h }
    at most: 3 d
    if late: ${draws.pick(['ask', 'go on'])}
`
}

export function drawBeer(draws: Draws): string {
  return `beer: Ale
original gravity: ${draws.pick(['1.044', '1.050', '1.056'])}
final gravity: 1.012 ± 1.5 points
starts at: ${Math.round(draws.between(15, 21))} °C ± 1 °C
start: 2026-12-04T18:00
yeast:
  name: House ale yeast
  class: ale
  comfort: { lowest: 16 °C, highest: 22 °C }
  attenuation: { lowest: 70 %, highest: 80 % }
  pitch: 0.75
`
}
