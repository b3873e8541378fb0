import { platoFromSg } from '../formulas/gravity.ts'
import type { Fan } from '../rehearsal/result.ts'
import type { DisplayUnits } from '../units/display.ts'

/** An axis in the brewer's units: numbers without a unit, which stands once beside the axis. */
export interface DisplayScale {
  readonly title: string
  readonly unit: string
  readonly of: (value: number) => number
}

export function temperatureScale(units: DisplayUnits): DisplayScale {
  return units.temperature === 'C'
    ? { title: 'Temperature, °C', unit: '°C', of: t_C => t_C }
    : { title: 'Temperature, °F', unit: '°F', of: t_C => t_C * 1.8 + 32 }
}

export function gravityScale(units: DisplayUnits): DisplayScale {
  return units.gravity === 'SG'
    ? { title: 'Specific gravity', unit: 'SG', of: sg => sg }
    : { title: 'Apparent extract, °P', unit: '°P', of: platoFromSg }
}

export function mapFan(fan: Fan, of: (value: number) => number): Fan {
  const each = (values: readonly (number | null)[]) =>
    values.map(value => (value === null ? null : of(value)))
  return {
    p5: each(fan.p5),
    p25: each(fan.p25),
    p50: each(fan.p50),
    p75: each(fan.p75),
    p95: each(fan.p95),
    nominal: each(fan.nominal),
  }
}
