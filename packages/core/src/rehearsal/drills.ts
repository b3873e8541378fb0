import { listChannels } from '../vessel/channels.ts'
import { silenceAllowed_s } from '../vessel/timeout.ts'
import type { Instrument } from '../vessel/vessel.ts'
import type { Fault } from '../world/faults/fault.ts'
import { callsIn, keyOfCall } from './calls.ts'
import type { RunRecord } from './record.ts'
import { NOMINAL_RUN, simulateRun } from './run.ts'
import type { Setup } from './setup.ts'

/** One named fault to be put into a rehearsal. */
export interface Drill {
  /** Short and stable, for `--only`. */
  readonly name: string
  readonly title: string
  /** Empty: the vessel has nothing that could fail like this. */
  readonly faults: readonly Fault[]
  /** Why it does not apply, when it does not. */
  readonly unfit: string
  /** It lasts until somebody mends it; the brewer does when called. */
  readonly needsMending: boolean
  /** What the plan does without the fault: a drill is judged by what the fault adds. */
  readonly baseline: Pick<RunRecord, 'ready_s' | 'harms'> & { readonly calls: readonly string[] }
}

const MINUTE_S = 60
const HOUR_S = 3600
const DAY_S = 86_400
const FOR_EVER_S = Number.POSITIVE_INFINITY
/** Share of the first stage after which a fault begins: in the middle of the work, when it hurts most. */
const FAULT_AT_SHARE = 0.4
/** Four points: judgement, no source. */
const FINAL_GRAVITY_ERROR_SG = 0.004

/** All drills for a plan, timed by its nominal run. */
export function drillsFor(setup: Setup): readonly Drill[] {
  const nominal = simulateRun(setup, NOMINAL_RUN, [], { keepEvents: true })
  const { vessel, start_s, beer } = setup
  const calls = callsIn(setup, nominal.events ?? []).map(keyOfCall)
  const baseline = { ready_s: nominal.ready_s, harms: nominal.harms, calls }
  const first = nominal.stages[0]
  const firstStage_s = first ? (first.ended_s ?? nominal.ended_s) - first.began_s : 0
  const at_s = start_s + Math.round(FAULT_AT_SHARE * firstStage_s)
  const measures = (quantity: string) =>
    listChannels(vessel).filter(({ channel }) => channel.quantity === quantity)
  const probe = trusted(setup, 'beer')
  const probeChannel = measures('beer').find(({ instrument }) => instrument === probe)?.number
  const float = measures('gravity').find(({ instrument }) => !instrument.byHand)?.instrument
  const hasFermentation = beer.yeast !== undefined
  const during = (lasts_s: number) => ({ from_s: at_s, to_s: at_s + lasts_s })
  const lasting = during(FOR_EVER_S)
  const whole = { from_s: start_s, to_s: FOR_EVER_S }

  const drill = (
    name: string,
    title: string,
    fits: unknown,
    unfit: string,
    fault: () => Fault,
    needsMending = false,
  ): Drill => ({
    name,
    title,
    faults: fits ? [fault()] : [],
    unfit: fits ? '' : unfit,
    needsMending,
    baseline,
  })

  const noFloat = 'no instrument reports the gravity by itself'
  const noHeater = 'the vessel has no heater'
  const noCooler = 'the vessel has no cooler'
  const noYeast = 'nothing ferments'
  const noProbe = 'nothing measures the temperature of the beer'
  const { heater, cooler, thermostat } = vessel
  return [
    drill(
      'float-silent',
      'The float falls silent',
      float,
      noFloat,
      () => ({ ...lasting, kind: 'instrument silent', instrument: float!.name }),
      true,
    ),
    drill(
      'float-slow',
      'The float reports more rarely than its timeout',
      float,
      noFloat,
      () => ({
        ...lasting,
        kind: 'instrument slow',
        instrument: float!.name,
        every_s: Math.ceil(1.3 * silenceAllowed_s(float!)),
      }),
      true,
    ),
    drill(
      'float-not-in-wort',
      'The batch is started before the float is in the wort',
      float,
      noFloat,
      () => ({
        from_s: start_s,
        to_s: start_s + 6 * HOUR_S,
        kind: 'float not in wort',
        instrument: float!.name,
      }),
    ),
    drill(
      'probe-silent',
      'The probe falls silent',
      probe,
      noProbe,
      () => ({ ...lasting, kind: 'instrument silent', instrument: probe!.name }),
      true,
    ),
    drill(
      'probe-displaced',
      `The probe falls out and hangs in the ${vessel.heat.cabinet ? "cabinet's air" : "room's air"}`,
      probe,
      noProbe,
      () => ({
        ...lasting,
        kind: 'thermometer displaced',
        instrument: probe!.name,
        into: vessel.heat.cabinet ? 'air' : 'room',
      }),
      true,
    ),
    drill(
      'probe-stuck',
      'The probe is stuck at one value',
      probeChannel !== undefined,
      noProbe,
      () => ({ ...lasting, kind: 'channel stuck', channel: probeChannel! }),
      true,
    ),
    drill(
      'heater-welded',
      "The heater's relay is welded on",
      heater,
      noHeater,
      () => ({ ...lasting, kind: 'heater welded' }),
      true,
    ),
    drill(
      'heater-dead',
      'The heater is dead',
      heater,
      noHeater,
      () => ({ ...lasting, kind: 'heater dead' }),
      true,
    ),
    drill(
      'cooler-dead',
      'The cooler is dead',
      cooler,
      noCooler,
      () => ({ ...lasting, kind: 'cooler dead' }),
      true,
    ),
    drill(
      'thermostat-displaced',
      "The thermostat's own probe falls out",
      thermostat,
      'the vessel has no thermostat',
      () => ({
        ...lasting,
        kind: 'thermostat displaced',
        into: thermostat!.follows === 'beer' && vessel.heat.cabinet ? 'air' : 'room',
      }),
      true,
    ),
    drill('power-cut', 'The power is cut for six hours', true, '', () => ({
      ...during(6 * HOUR_S),
      kind: 'power cut',
    })),
    drill('controller-restart', 'The controller restarts and is away for ten minutes', true, '', () => ({
      ...during(10 * MINUTE_S),
      kind: 'controller down',
    })),
    drill(
      'network-cut',
      'The network between controller and appliances is cut',
      heater ?? cooler,
      'the vessel has no appliance',
      () => ({ ...lasting, kind: 'network cut' }),
      true,
    ),
    drill('heat-wave', 'A heat wave: the room is 10 K warmer for four days', true, '', () => ({
      ...during(4 * DAY_S),
      kind: 'room warmer',
      by_K: 10,
    })),
    drill(
      'door-open',
      "The cabinet's door stays open for half a day",
      vessel.heat.cabinet,
      'there is no cabinet',
      () => ({ ...during(12 * HOUR_S), kind: 'door open', factor: 10 }),
    ),
    drill(
      'final-too-low',
      'The final gravity was estimated 4 points too low',
      hasFermentation,
      noYeast,
      () => ({ ...whole, kind: 'final gravity', offset_SG: FINAL_GRAVITY_ERROR_SG }),
    ),
    drill(
      'final-too-high',
      'The final gravity was estimated 4 points too high',
      hasFermentation,
      noYeast,
      () => ({ ...whole, kind: 'final gravity', offset_SG: -FINAL_GRAVITY_ERROR_SG }),
    ),
    drill(
      'stuck-fermentation',
      'The fermentation gets stuck with a third of the sugar left',
      hasFermentation,
      noYeast,
      () => ({ ...whole, kind: 'fermentation stuck', atShare: 0.33 }),
    ),
    drill('fast-fermentation', 'The fermentation runs twice as fast', hasFermentation, noYeast, () => ({
      ...whole,
      kind: 'fermentation speed',
      factor: 2,
    })),
  ]
}

function trusted(setup: Setup, quantity: string): Instrument | undefined {
  const { program, vessel } = setup
  const channel = program.quantities.find(({ name }) => name === quantity)?.trust[0]
  if (channel === undefined) return undefined
  const name = program.channels[channel]!.instrument
  return vessel.instruments.find(instrument => instrument.name === name)
}
