import type { Beginning } from './beginning.ts'

/** The vessel that `attemper new` writes: a refrigerator with a heat belt, or a bucket on a heat pad. */
export function vesselBeginning(beginning: Beginning): string {
  return beginning.equipment === 'fridge' ? fridge(beginning) : pad(beginning)
}

const INSTRUMENTS = `instruments:
  # A probe in the beer. "every" is how often it reports; "noise" scatters from reading to reading, "bias" is an error that
  # stays; "lag" is how slowly it follows.
  - instrument: Probe
    every: 5 s
    measures:
      beer: { noise: 0.03 °C, resolution: 0.0625 °C, bias: 0 °C ± 0.2 °C, lag: 60 s }
`

const FLOAT = `  # A float that swims in the beer; "outages" are gaps in its radio, "foam" is how much the krausen disturbs it.
  - instrument: Float
    every: 30 min
    outages: { per day: 0.2, last: 2 h }
    measures:
      gravity: { noise: 0.7 points, resolution: 0.1 points, bias: 0 points ± 1.5 points, foam: 3 points }
`

function fridge({ volume_L }: Beginning): string {
  return `# A vessel: a bucket in an old refrigerator, with a heating belt around the bucket.
vessel: Refrigerator with a heat belt

# The usual amount of beer.
beer: ${volume_L} L

# How easily heat flows (W for each degree of difference), and how much each part stores. ± is how well it is known.
heat paths:
  # From the beer through the bucket's wall, and what the wall stores.
  beer to wall: 12 W/°C ± 20 %
  wall stores: 3 kJ/°C ± 20 %
  # From the wall to the air in the cabinet, and what that air and the shelves store.
  wall to air: 4 W/°C ± 20 %
  air stores: 9 kJ/°C ± 30 %
  # From the cabinet through its insulation to the room.
  air to room: 1.6 W/°C ± 15 %

# The room: its mean, how far it swings by day and night, and when it is warmest.
room: { average: 16 °C ± 3 °C, daily swing: 3 °C ± 1 °C, warmest at: "16:00" }

heater:
  # What the belt's label says.
  power: 30 W ± 5 %
  # What the belt itself stores, and where its heat goes.
  stores: 0.4 kJ/°C
  to wall: 3 W/°C
  to air: 0.5 W/°C

cooler:
  # Heat removed while it runs; the evaporator's lowest temperature.
  power: 120 W ± 15 %
  coldest: -18 °C
  # The evaporator stores cold and goes on cooling after the compressor has stopped.
  stores: 4 kJ/°C
  to air: 8 W/°C
  # A compressor has to rest before it may start again, and should not run too shortly.
  rests at least: 5 min
  runs at least: 3 min

${INSTRUMENTS}  # A probe in the cabinet's air.
  - instrument: Air probe
    every: 5 s
    measures:
      air: { noise: 0.03 °C, resolution: 0.0625 °C, bias: 0 °C ± 0.2 °C, lag: 20 s }
${FLOAT}
# When heater and cooler start and stop, as distances from the target.
control: { method: on-off, heat: { start: 0.3 °C, stop: 0 °C }, cool: { start: 0.3 °C, stop: 0 °C } }

# What always wins: the time between heating and cooling, and how long a command is valid when no other follows.
interlocks: { changeover: 10 min, command lasts: 15 min }

# Software is never the only protection: give the heater an independent over-temperature cut-out.
`
}

function pad({ volume_L }: Beginning): string {
  return `# A vessel: a bucket at room temperature, on a heat pad. Nothing cools it.
vessel: Bucket on a heat pad

# The usual amount of beer.
beer: ${volume_L} L

# How easily heat flows (W for each degree of difference), and how much each part stores. ± is how well it is known.
heat paths:
  # From the beer through the bucket's wall, and what the wall stores.
  beer to wall: 12 W/°C ± 20 %
  wall stores: 3 kJ/°C ± 20 %
  # From the wall to the air of the room.
  wall to air: 4 W/°C ± 20 %

# The room: its mean, how far it swings by day and night, and when it is warmest.
room: { average: 16 °C ± 2 °C, daily swing: 2 °C ± 1 °C, warmest at: "16:00" }

heater:
  # What the pad's label says.
  power: 30 W ± 5 %
  # What the pad itself stores, and where its heat goes.
  stores: 0.4 kJ/°C
  to wall: 3 W/°C
  to air: 0.5 W/°C

${INSTRUMENTS}${FLOAT}
# When the heater starts and stops, as distances below the target.
control: { method: on-off, heat: { start: 0.3 °C, stop: 0 °C } }

# What always wins: how long a command is valid when no other follows.
interlocks: { command lasts: 15 min }

# Software is never the only protection: give the heater an independent over-temperature cut-out.
`
}
