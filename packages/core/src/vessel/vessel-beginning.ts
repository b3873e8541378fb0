import { quoted } from '../source-text/quoted.ts'
import { formatNumber } from '../units/format.ts'

/** What has to be known of a vessel to begin a text about it; the rest of that text is what is usual, and says so. */
export interface VesselBeginning {
  readonly name: string
  /** In a refrigerator or another insulated cabinet, or with the room all around it. */
  readonly stands: 'cabinet' | 'room'
  readonly volume_L: number
  /** null: nothing warms it. */
  readonly heater_W: number | null
  /** `cabinet`: a compressor that chills the cabinet's air. `jacket`: cold liquid in a coil or a jacket. */
  readonly cooler: { readonly by: 'cabinet' | 'jacket'; readonly power_W: number } | null
  readonly room_C: number
  /** Beside the probe in the beer, without which nothing can be controlled. */
  readonly airProbe: boolean
  readonly float: boolean
  readonly hydrometer: boolean
  /** A device of its own that is told a target; null: heater and cooler are switched one by one. */
  readonly thermostat: 'beer' | 'air' | null
}

/** A bucket in a refrigerator, with a heat belt around it. */
export function bucketInFridge(volume_L: number): VesselBeginning {
  return {
    name: 'Refrigerator with a heat belt',
    stands: 'cabinet',
    volume_L,
    heater_W: 30,
    cooler: { by: 'cabinet', power_W: 120 },
    room_C: 16,
    airProbe: true,
    float: true,
    hydrometer: false,
    thermostat: null,
  }
}

/** A bucket on a heat pad, which nothing cools. */
export function bucketOnPad(volume_L: number): VesselBeginning {
  return {
    ...bucketInFridge(volume_L),
    name: 'Bucket on a heat pad',
    stands: 'room',
    cooler: null,
    airProbe: false,
  }
}

/**
 * The text of a vessel to begin with, each line explained by a comment. Heat paths are those of a plastic bucket in still
 * air, grown with its surface (the volume to the power of 2/3).
 */
export function vesselBeginning(beginning: VesselBeginning): string {
  return [
    opening(beginning),
    heatPaths(beginning),
    room(beginning),
    heater(beginning),
    cooler(beginning),
    thermostat(beginning),
    instruments(beginning),
    switching(beginning),
  ]
    .filter(part => part !== '')
    .join('\n')
}

function opening({ name, volume_L, stands, heater_W, cooler: chills }: VesselBeginning): string {
  const where = stands === 'cabinet' ? 'in a refrigerator or another cabinet' : 'with the room all around it'
  const lacks = [heater_W === null ? 'warms' : '', chills === null ? 'cools' : ''].filter(each => each !== '')
  return `# A vessel ${where}.${lacks.length === 0 ? '' : ` Nothing ${lacks.join(' or ')} it.`}
vessel: ${quoted(name)}

# The usual amount of beer.
beer: ${formatNumber(volume_L)} L
`
}

const BUCKET_L = 20

function heatPaths({ stands, volume_L }: VesselBeginning): string {
  const grown = (usual: number) => Number((usual * (volume_L / BUCKET_L) ** (2 / 3)).toPrecision(2))
  const inside = `# How easily heat flows (W for each degree of difference), and how much each part stores. ± is how well it is known.
heat paths:
  # From the beer through the vessel's wall, and what the wall stores.
  beer to wall: ${grown(12)} W/°C ± 20 %
  wall stores: ${grown(3)} kJ/°C ± 20 %
`
  return stands === 'cabinet'
    ? `${inside}  # From the wall to the air in the cabinet, and what that air and the shelves store.
  wall to air: ${grown(4)} W/°C ± 20 %
  air stores: 9 kJ/°C ± 30 %
  # From the cabinet through its insulation to the room.
  air to room: 1.6 W/°C ± 15 %
`
    : `${inside}  # From the wall to the air of the room.
  wall to room: ${grown(4)} W/°C ± 20 %
`
}

function room({ room_C, stands }: VesselBeginning): string {
  const swing = stands === 'cabinet' ? 3 : 2
  return `# The room: its mean, how far it swings by day and night, and when it is warmest.
room: { average: ${formatNumber(room_C)} °C ± ${swing} °C, daily swing: ${swing} °C ± 1 °C, warmest at: "16:00" }
`
}

function heater({ heater_W }: VesselBeginning): string {
  if (heater_W === null) return ''
  return `heater:
  # What the label of the belt or the pad says.
  power: ${formatNumber(heater_W)} W ± 5 %
  # What it stores itself, and where its heat goes.
  stores: 0.4 kJ/°C
  to wall: 3 W/°C
  to air: 0.5 W/°C
`
}

function cooler({ cooler: chills }: VesselBeginning): string {
  if (chills === null) return ''
  return chills.by === 'cabinet'
    ? `cooler:
  # Heat removed while it runs; the evaporator's lowest temperature.
  power: ${formatNumber(chills.power_W)} W ± 15 %
  coldest: -18 °C
  # The evaporator stores cold and goes on cooling after the compressor has stopped.
  stores: 4 kJ/°C
  to air: 8 W/°C
  # A compressor has to rest before it may start again, and should not run too shortly.
  rests at least: 5 min
  runs at least: 3 min
`
    : `cooler:
  # Heat removed while cold liquid flows; the lowest temperature of that liquid.
  power: ${formatNumber(chills.power_W)} W ± 15 %
  coldest: -4 °C
  # The coil or the jacket stores cold, and how easily the beer's heat gets into it.
  stores: 4 kJ/°C
  to beer: 25 W/°C
  # A pump or a valve has to rest only shortly.
  rests at least: 1 min
  runs at least: 30 s
`
}

function thermostat({ thermostat: follows }: VesselBeginning): string {
  if (follows === null) return ''
  return `# It is told a target, and switches what warms and cools by itself.
thermostat:
  # Which temperature its own thermometer measures: that of the beer, or of the air.
  follows: ${follows}
  # How far from the target it begins, and what it can be set to: see its manual.
  hysteresis: 0.5 °C
  lowest: 0 °C
  highest: 30 °C
  resolution: 0.1 °C
  # Most bought ones go on with the last target when they are told nothing more.
  when unheard: keeps its target
`
}

function instruments({ airProbe, float, hydrometer }: VesselBeginning): string {
  const probe = `instruments:
  # A probe in the beer. "every" is how often it reports; "noise" scatters from reading to reading, "bias" is an error that
  # stays; "lag" is how slowly it follows.
  - instrument: Probe
    every: 5 s
    measures:
      beer: { noise: 0.03 °C, resolution: 0.0625 °C, bias: 0 °C ± 0.2 °C, lag: 60 s }
`
  const inAir = `  # A probe in the air around the vessel.
  - instrument: Air probe
    every: 5 s
    measures:
      air: { noise: 0.03 °C, resolution: 0.0625 °C, bias: 0 °C ± 0.2 °C, lag: 20 s }
`
  const swimming = `  # A float that swims in the beer; "outages" are gaps in its radio, "foam" is how much the krausen disturbs it.
  - instrument: Float
    every: 30 min
    outages: { per day: 0.2, last: 2 h }
    measures:
      gravity: { noise: 0.7 points, resolution: 0.1 points, bias: 0 points ± 1.5 points, foam: 3 points }
`
  const read = `  # A hydrometer that you read and enter; "every" is how often you mean to.
  - instrument: Hydrometer
    by hand: true
    every: 2 d
    measures:
      gravity: {}
`
  return probe + (airProbe ? inAir : '') + (float ? swimming : '') + (hydrometer ? read : '')
}

function switching({ heater_W, cooler: chills, thermostat: follows }: VesselBeginning): string {
  const heats = heater_W !== null
  if (!heats && chills === null) return ''
  const caution = heats
    ? '\n# Software is never the only protection: give the heater an independent over-temperature cut-out.\n'
    : ''
  if (follows !== null) {
    return `# What always wins: how long a target is valid when no other follows.
interlocks: { command lasts: 30 min }
${caution}`
  }
  const what = heats && chills !== null ? 'heater and cooler start and stop' : 'it starts and stops'
  const heat = heats ? ', heat: { start: 0.3 °C, stop: 0 °C }' : ''
  const cool = chills === null ? '' : ', cool: { start: 0.3 °C, stop: 0 °C }'
  return `# When ${what}, as distances from the target.
control: { method: on-off${heat}${cool} }

# What always wins: how long a command is valid when no other follows.
interlocks: { command lasts: 15 min }
${caution}`
}
