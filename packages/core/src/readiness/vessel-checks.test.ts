import { describe, expect, it } from 'vitest'
import { channel, instrument, smallBeer, smallVessel } from '../engine/testing/small-house.ts'
import { USUAL_UNITS } from '../units/display.ts'
import type { Instrument } from '../vessel/vessel.ts'
import type { CheckCode, LatestReading, ReadinessCase } from './check.ts'
import { checkVessel, isReady, sayReadiness } from './vessel-checks.ts'

const NOW_S = Date.UTC(2026, 11, 4, 18) / 1000

const float = instrument('Float', 900, [
  channel({ quantity: 'gravity', noise: 0.0005 }),
  channel({ quantity: 'beer', noise: 0.05 }),
])
const probe = instrument('Probe', 10, [channel({ quantity: 'beer', noise: 0.03 })])
const hydrometer: Instrument = {
  ...instrument('Hydrometer', 86_400, [channel({ quantity: 'gravity' })]),
  byHand: true,
}

const heard = (value: number, ago_s = 5): LatestReading => ({ at_s: NOW_S - ago_s, value, status: 'good' })

/** Channels: Probe.beer, Float.gravity, Float.beer, Hydrometer.gravity. Everything as it should be. */
function given(part: Partial<ReadinessCase> = {}): ReadinessCase {
  return {
    vessel: smallVessel({ instruments: [probe, float, hydrometer] }),
    beer: smallBeer(),
    now_s: NOW_S,
    localOffset_s: 0,
    latest: [heard(18.1), heard(1.0505, 300), heard(18.3, 300), null],
    gravities: [4500, 3600, 2700, 1800, 900, 0].map(ago_s => [NOW_S - ago_s, 1.0505] as const),
    batch: null,
    appliances: [{ appliance: 'heater', reach: 'listens', problem: '' }],
    storageProblem: null,
    units: USUAL_UNITS,
    ...part,
  }
}

const stateOf = (code: CheckCode, part: Partial<ReadinessCase>) =>
  checkVessel(given(part)).find(check => check.code === code)

describe('a vessel in which all is as it should be', () => {
  it('is ready, and each check says why', () => {
    const checks = checkVessel(given())
    expect(checks.map(({ code, state }) => `${code}: ${state}`)).toEqual([
      'vessel-free: ok',
      'beer-probe-heard: ok',
      'instruments-heard: ok',
      'temperatures-agree: ok',
      'pitching-temperature: ok',
      'float-in-wort: ok',
      'appliances-reachable: ok',
      'records-kept: ok',
    ])
    expect(isReady(checks)).toBe(true)
    expect(sayReadiness('Test fridge', checks)).toBe('Test fridge is ready.')
    for (const { sentence } of checks) expect(sentence).toMatch(/^[A-Z].*\.$/)
  })
})

describe('what is missing is said', () => {
  const cases: readonly [CheckCode, Partial<ReadinessCase>, string, RegExp][] = [
    ['vessel-free', { batch: '2026-12-01-amber' }, 'not yet', /2026-12-01-amber is in it/],
    ['beer-probe-heard', { latest: [null, null, null, null] }, 'not yet', /Probe has never been heard/],
    [
      'beer-probe-heard',
      { latest: [heard(18, 60), null, null, null] },
      'not yet',
      /silent for 1 min; it should report every 10 s/,
    ],
    ['beer-probe-heard', { latest: [heard(185), null, null, null] }, 'not yet', /can be believed/],
    ['instruments-heard', { latest: [heard(18), null, null, null] }, 'not yet', /Float has never been heard/],
    [
      'temperatures-agree',
      { latest: [heard(18), heard(1.05, 300), heard(23, 300), null] },
      'warning',
      /Probe reads 18\.0 °C and Float 23\.0 °C/,
    ],
    ['temperatures-agree', { latest: [heard(18), null, null, null] }, 'unknown', /Fewer than two/],
    [
      'pitching-temperature',
      { latest: [heard(28), heard(1.05, 300), heard(28, 300), null] },
      'warning',
      /It is at 28\.0 °C, but Test yeast works well from 17\.0 °C to 22\.0 °C/,
    ],
    ['float-in-wort', { gravities: [] }, 'unknown', /Float has given no gravity lately/],
    ['float-in-wort', { beer: null }, 'unknown', /which beer it is to be has not been said/],
    [
      'float-in-wort',
      { gravities: [[NOW_S - 300, 1]], latest: [heard(18), heard(1, 300), heard(18, 300), null] },
      'not yet',
      /Float does not seem to be in the wort/,
    ],
    [
      'appliances-reachable',
      { appliances: [{ appliance: 'heater', reach: 'does not answer', problem: 'nobody listens' }] },
      'warning',
      /The heater: nobody listens/,
    ],
    [
      'appliances-reachable',
      { appliances: [{ appliance: 'cooler', reach: 'unknown', problem: '' }] },
      'unknown',
      /Whether the cooler can be reached/,
    ],
    ['records-kept', { storageProblem: { kind: 'failing' } }, 'warning', /^Records can not be written\.$/],
    [
      'records-kept',
      { storageProblem: { kind: 'little room', free_MB: 12 } },
      'warning',
      /^Only 12 MB are free/,
    ],
  ]
  it.each(cases)('%s, case %#', (code, part, state, sentence) => {
    const check = stateOf(code, part)
    expect(check).toMatchObject({ state })
    expect(check!.sentence).toMatch(sentence)
  })

  it('a vessel without a float, a second thermometer or appliances is not asked for them', () => {
    const vessel = smallVessel({ instruments: [probe] })
    const checks = checkVessel(
      given({ vessel, latest: [heard(18)], gravities: [], appliances: [], beer: null }),
    )
    expect(checks.map(({ code }) => code)).toEqual([
      'vessel-free',
      'beer-probe-heard',
      'instruments-heard',
      'records-kept',
    ])
  })

  it('says all that is missing in one go, and what is only worth a look otherwise', () => {
    const missing = checkVessel(given({ batch: 'b1', latest: [null, null, null, null] }))
    expect(sayReadiness('Bucket', missing)).toMatch(
      /^Bucket is not ready yet\. b1 is in it.*Probe has never been/,
    )
    const warned = checkVessel(given({ storageProblem: { kind: 'failing' } }))
    expect(sayReadiness('Bucket', warned)).toBe('Bucket is ready, but: Records can not be written.')
  })
})

describe('calibrations', () => {
  const calibrated = { text: '2026-06-01', local_s: Date.UTC(2026, 5, 1) / 1000 }
  const vesselWith = (part: Partial<Instrument>) =>
    smallVessel({ instruments: [{ ...probe, ...part }, float, hydrometer] })

  it.each([
    [{ calibrated, calibrateEvery_s: 365 * 86_400 }, 'ok', /of Probe, is due on 1 June 2027/],
    [
      { calibrated, calibrateEvery_s: 180 * 86_400 },
      'warning',
      /calibrated on 1 June 2026; that was good until 28 November/,
    ],
    [{ calibrateEvery_s: 180 * 86_400 }, 'warning', /never been calibrated/],
  ] as const)('case %#', (part, state, sentence) => {
    const check = stateOf('calibrations-in-date', { vessel: vesselWith(part) })
    expect(check).toMatchObject({ state })
    expect(check!.sentence).toMatch(sentence)
  })

  it('are not asked for where the vessel file does not say how long they last', () => {
    expect(stateOf('calibrations-in-date', { vessel: vesselWith({ calibrated }) })).toBeUndefined()
  })
})
