import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { formatTemperature, formatVolume } from '@attemper/core/units/format.ts'
import { parseQuantity } from '@attemper/core/units/parse.ts'
import type { VesselBeginning } from '@attemper/core/vessel/vessel-beginning.ts'

/** What somebody has answered about a vessel, as it stands in the fields. */
export interface VesselAnswers {
  readonly name: string
  readonly stands: VesselBeginning['stands']
  readonly volume: string
  readonly room: string
  readonly heats: boolean
  readonly heater: string
  readonly cools: 'no' | 'cabinet' | 'jacket'
  readonly cooler: string
  readonly airProbe: boolean
  readonly float: boolean
  readonly hydrometer: boolean
  readonly switches: 'attemper' | 'thermostat'
  readonly follows: 'beer' | 'air'
}

/** The fields that are typed into. */
export type TypedField = 'name' | 'volume' | 'room' | 'heater' | 'cooler'

export interface ReadAnswers {
  /** null: something can not be read. */
  readonly beginning: VesselBeginning | null
  readonly problems: Readonly<Partial<Record<TypedField, string>>>
}

export function usualAnswers(units: DisplayUnits): VesselAnswers {
  return {
    name: 'First vessel',
    stands: 'cabinet',
    volume: formatVolume(20, units, units.volume === 'L' ? 0 : 1),
    room: formatTemperature(16, units, 0),
    heats: true,
    heater: '30 W',
    cools: 'cabinet',
    cooler: '120 W',
    airProbe: true,
    float: false,
    hydrometer: true,
    switches: 'attemper',
    follows: 'beer',
  }
}

/** What was answered, as the beginning of a text; or for each field what is wrong with it. */
export function readAnswers(answers: VesselAnswers): ReadAnswers {
  const problems: Partial<Record<TypedField, string>> = {}
  const read = (field: TypedField, kind: 'volume' | 'temperature' | 'power', least: number, most: number) => {
    const parsed = parseQuantity(answers[field], kind)
    if (!parsed.ok) problems[field] = `${parsed.problem.message} ${parsed.problem.cure}`
    else if (parsed.value < least || parsed.value > most) problems[field] = RANGES[field] ?? ''
    return parsed.ok ? Number(parsed.value.toFixed(1)) : 0
  }
  const stands = answers.stands
  // A compressor that chills air needs a cabinet around that air.
  const cools = stands === 'room' && answers.cools === 'cabinet' ? 'jacket' : answers.cools
  const name = answers.name.trim()
  if (name === '') problems.name = 'It needs a name.'
  const able = answers.heats || cools !== 'no'
  const beginning: VesselBeginning = {
    name,
    stands,
    volume_L: read('volume', 'volume', 0.1, 100_000),
    room_C: read('room', 'temperature', -40, 60),
    heater_W: answers.heats ? read('heater', 'power', 0.1, 1e6) : null,
    cooler: cools === 'no' ? null : { by: cools, power_W: read('cooler', 'power', 0.1, 1e6) },
    airProbe: answers.airProbe,
    float: answers.float,
    hydrometer: answers.hydrometer,
    thermostat:
      answers.switches === 'thermostat' && able ? (stands === 'room' ? 'beer' : answers.follows) : null,
  }
  return { beginning: Object.keys(problems).length === 0 ? beginning : null, problems }
}

const RANGES: Readonly<Partial<Record<TypedField, string>>> = {
  volume: 'Write a volume from 0.1 L to 1000 hL.',
  room: 'Write a temperature from -40 °C to 60 °C.',
  heater: 'Write a power, such as 30 W.',
  cooler: 'Write a power, such as 120 W.',
}
