import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { type DisplayUnits, USUAL_UNITS } from './display.ts'
import {
  formatClock,
  formatDate,
  formatDifference,
  formatDuration,
  formatGravity,
  formatGravityDifference,
  formatGravityRate,
  formatMoment,
  formatNumber,
  formatPercent,
  formatQuantity,
  formatQuantityChange,
  formatRate,
  formatTemperature,
  formatVolume,
  spellDuration,
} from './format.ts'

const SI = USUAL_UNITS
const US: DisplayUnits = { temperature: 'F', gravity: 'P', volume: 'gal' }
const HOUR_s = 3600
const DAY_s = 86_400

describe('temperatures', () => {
  // The scales meet at -40; water freezes at 32 °F and boils at 212 °F (definition of the scale).
  it.each([
    [-40, '-40.0 °C', '-40.0 °F'],
    [0, '0.0 °C', '32.0 °F'],
    [18.36, '18.4 °C', '65.0 °F'],
    [100, '100.0 °C', '212.0 °F'],
  ])('measured: %s', (t_C, celsius, fahrenheit) => {
    expect(formatTemperature(t_C, SI)).toBe(celsius)
    expect(formatTemperature(t_C, US)).toBe(fahrenheit)
  })

  it('says a written value back as it was written, also after a conversion', () => {
    expect(formatTemperature(18, SI, 'as written')).toBe('18 °C')
    expect(formatTemperature(18.25, SI, 'as written')).toBe('18.25 °C')
    expect(formatTemperature(((64 - 32) * 5) / 9, US, 'as written')).toBe('64 °F')
  })

  it('tells a difference from a temperature', () => {
    expect(formatDifference(10, SI)).toBe('10.0 °C')
    expect(formatDifference(10, US)).toBe('18.0 °F')
  })

  it('never prints a minus before nothing, nor a number that is none', () => {
    expect(formatTemperature(-0.01, SI)).toBe('0.0 °C')
    expect(formatNumber(-0)).toBe('0')
    expect(formatTemperature(Number.NaN, SI)).toBe('unknown')
    expect(formatGravity(Number.POSITIVE_INFINITY, US)).toBe('unknown')
  })
})

describe('gravity', () => {
  // Sucrose table of NBS Circular 440 (20/20 °C): 1.04003 at 10 °P, 1.0125 at about 3.2 °P.
  it('is said as specific gravity or in °P', () => {
    expect(formatGravity(1.0123, SI)).toBe('1.012')
    expect(formatGravity(1.04003, US)).toBe('10.0 °P')
    expect(formatGravity(1, US)).toBe('0.0 °P')
  })

  it('keeps three decimals of specific gravity, and a fourth that was written', () => {
    expect(formatGravity(1.01, SI, 'as written')).toBe('1.010')
    expect(formatGravity(1.0125, SI, 'as written')).toBe('1.0125')
  })

  it('counts differences in points', () => {
    expect(formatGravityDifference(0.01, SI)).toBe('10 points')
    expect(formatGravityDifference(0.001, SI)).toBe('1 point')
    expect(formatGravityDifference(0.0015, SI)).toBe('1.5 points')
    expect(formatGravityDifference(-0.001, SI)).toBe('-1 point')
    expect(formatGravityDifference(0, SI)).toBe('0 points')
  })

  it('counts differences in °P from 0 °P upwards', () => {
    // 258.5 °P per unit of gravity at 0 °P (slope of the NBS table), so 10 points are 2.56 °P.
    expect(formatGravityDifference(0.01, US)).toBe('2.56 °P')
    expect(formatGravityDifference(0.01, US, 1)).toBe('2.6 °P')
    expect(formatGravityDifference(-0.01, US, 1)).toBe('-2.6 °P')
  })
})

describe('other quantities', () => {
  it('prints volumes in litres and US gallons (3.785411784 L by definition)', () => {
    expect(formatVolume(20, SI)).toBe('20.0 L')
    expect(formatVolume(20, US)).toBe('5.3 gal')
    expect(formatVolume(3.785411784, US, 'as written')).toBe('1 gal')
  })

  it('prints shares in percent', () => {
    expect(formatPercent(0.754)).toBe('75 %')
    expect(formatPercent(0.754, 'as written')).toBe('75.4 %')
  })

  it('knows the units of common quantities, and takes others from the vessel', () => {
    expect(formatQuantity('beer', 18.36, SI)).toBe('18.4 °C')
    expect(formatQuantity('gravity', 1.0123, SI)).toBe('1.012')
    expect(formatQuantity('pressure', 80_000, SI)).toBe('0.80 bar')
    expect(formatQuantity('pressure', 80_000, SI, { precision: 'as written' })).toBe('0.8 bar')
    expect(formatQuantity('humidity', 0.85, SI)).toBe('85 %')
    expect(formatQuantity('power', 29.6, SI)).toBe('30 W')
    expect(formatQuantity('pH', 4.5, SI)).toBe('4.50')
    expect(formatQuantity('oxygen', 8.123, SI, { unit: 'mg/L' })).toBe('8.12 mg/L')
    expect(formatQuantity('oxygen', 8.123, SI)).toBe('8.12')
    expect(formatQuantity('glycol', -4, US, { unit: '°C' })).toBe('24.8 °F')
  })

  it('prints the size of a change as a difference', () => {
    expect(formatQuantityChange('beer', 1, US)).toBe('1.8 °F')
    expect(formatQuantityChange('glycol', 1, US, { unit: '°C' })).toBe('1.8 °F')
    expect(formatQuantityChange('gravity', 0.00512, SI)).toBe('5.1 points')
    expect(formatQuantityChange('pressure', 5_000, SI)).toBe('0.05 bar')
  })
})

describe('durations', () => {
  it.each([
    [0, '0 s', '0 seconds'],
    [45, '45 s', '45 seconds'],
    [60, '1 min', '1 minute'],
    [90, '90 s', '90 seconds'],
    [130, '2 min 10 s', '2 minutes and 10 seconds'],
    [HOUR_s, '1 h', '1 hour'],
    [90 * 60, '90 min', '90 minutes'],
    [150 * 60, '2 h 30 min', '2 hours and 30 minutes'],
    [DAY_s, '1 d', '1 day'],
    [36 * HOUR_s, '1 d 12 h', '1 day and 12 hours'],
    [3 * DAY_s, '3 d', '3 days'],
    [DAY_s + HOUR_s + 60 + 1, '1 d 1 h 1 min', '1 day, 1 hour, 1 minute and 1 second'],
  ])('%s s', (duration_s, short, spelt) => {
    expect(formatDuration(duration_s)).toBe(short)
    expect(spellDuration(duration_s)).toBe(spelt)
  })

  it('rounds what was measured to what matters', () => {
    expect(formatDuration(3 * DAY_s + 29 * 60)).toBe('3 d')
    expect(formatDuration(2 * HOUR_s + 31)).toBe('2 h 1 min')
    expect(formatDuration(-90)).toBe('-90 s')
    expect(formatDuration(3 * DAY_s + 29 * 60, 'as written')).toBe('3 d 29 min')
  })

  it('spells a duration so that it adds up again', ({ task }) => {
    const sizes: Readonly<Record<string, number>> = { day: DAY_s, hour: HOUR_s, minute: 60, second: 1 }
    judge(task, {}, [fc.integer({ min: 0, max: 100 * DAY_s })], duration_s => {
      const sum_s = [...spellDuration(duration_s).matchAll(/(\d+) (day|hour|minute|second)/g)]
        .map(([, count, word]) => Number(count) * sizes[word!]!)
        .reduce((a, b) => a + b, 0)
      expect(sum_s).toBe(duration_s)
    })
  })
})

describe('rates', () => {
  it('choose the unit of time that makes the shortest number', () => {
    expect(formatRate(1 / HOUR_s, SI)).toBe('1 °C/h')
    expect(formatRate(2 / DAY_s, SI)).toBe('2 °C/d')
    expect(formatRate(0.5 / HOUR_s, SI)).toBe('0.5 °C/h')
    expect(formatRate(1 / 60, SI)).toBe('1 °C/min')
    expect(formatRate(2 / 1.8 / HOUR_s, US)).toBe('2 °F/h')
  })

  it('say how fast the gravity falls', () => {
    expect(formatGravityRate(0.002 / DAY_s, SI)).toBe('2 points a day')
    expect(formatGravityRate(0.001 / HOUR_s, SI)).toBe('1 point an hour')
    expect(formatGravityRate(0.0005 / DAY_s, SI)).toBe('0.5 points a day')
  })
})

describe('moments', () => {
  it('count days from that of pitching when the clock is known', () => {
    const pitchedAt_s = 20_000 * DAY_s + 18 * HOUR_s
    expect(formatMoment(0, pitchedAt_s)).toBe('day 1, 18:00')
    expect(formatMoment(6 * HOUR_s, pitchedAt_s)).toBe('day 2, 00:00')
    expect(formatMoment(44 * HOUR_s + 5 * 60, pitchedAt_s)).toBe('day 3, 14:05')
  })

  it('count hours otherwise', () => {
    expect(formatMoment(62 * HOUR_s)).toBe('after 62 h')
    expect(formatMoment(45 * 60)).toBe('after 45 min')
    expect(formatMoment(-2 * HOUR_s)).toBe('2 h before pitching')
  })

  it('are told by a clock of twelve hours to whoever reads one', () => {
    const twelve = { clock: '12 h' } as const
    const told = [0, 1, 11.99, 12, 12.5, 14.1, 23.99].map(hour => formatClock(hour * HOUR_s, twelve))
    expect(told).toEqual(['12:00 am', '1:00 am', '11:59 am', '12:00 pm', '12:30 pm', '2:06 pm', '11:59 pm'])
    expect(formatMoment(26 * HOUR_s, 18 * HOUR_s, twelve)).toBe('day 2, 8:00 pm')
  })

  it('agree with the calendar of the machine', ({ task }) => {
    judge(task, {}, [fc.integer({ min: -5_000_000_000, max: 20_000_000_000 })], local_s => {
      const date = new Date(local_s * 1000)
      const month = date.toLocaleString('en-GB', { month: 'long', timeZone: 'UTC' })
      expect(formatDate(local_s)).toBe(`${date.getUTCDate()} ${month} ${date.getUTCFullYear()}`)
      expect(formatClock(local_s)).toBe(date.toISOString().slice(11, 16))
    })
  })
})
