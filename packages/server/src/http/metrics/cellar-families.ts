import type { Verdict } from '@attemper/core/batch/doubts.ts'
import type { BatchState } from '@attemper/core/engine/events.ts'
import type { BatchView, Cellar } from '../../live/cellar.ts'
import type { MetricFamily, MetricSample } from './open-metrics.ts'

const VERDICTS: readonly Verdict[] = ['well', 'not well', 'unknown']
const STATES: readonly BatchState[] = ['idle', 'running', 'held', 'complete', 'stopped', 'aborted']

/** How the batches that have not ended stand. What is unknown has no sample. */
export function cellarFamilies(cellar: Cellar): readonly MetricFamily[] {
  const views = cellar
    .batches()
    .filter(batch => batch.ended_ms === null)
    .map(batch => cellar.view(batch.id))
  const gauge = (
    name: string,
    help: string,
    value: (view: BatchView) => number | null,
    unit?: string,
  ): MetricFamily => ({
    name: unit === undefined ? name : `${name}_${unit}`,
    type: 'gauge',
    ...(unit === undefined ? {} : { unit }),
    help,
    samples: views.flatMap(view => sampleOf(view, value(view))),
  })
  return [
    {
      name: 'attemper_vessels',
      type: 'gauge',
      help: 'Vessels of the cellar.',
      samples: [{ labels: {}, value: cellar.vessels().length }],
    },
    {
      name: 'attemper_batch_state',
      type: 'stateset',
      help: 'State of the batch.',
      samples: views.flatMap(view =>
        STATES.map(state => ({
          labels: { ...labelsOf(view), attemper_batch_state: state },
          value: view.state.batch === state ? 1 : 0,
        })),
      ),
    },
    gauge(
      'attemper_beer_temperature',
      'Temperature of the beer that is believed.',
      view => view.beer_C,
      'celsius',
    ),
    gauge(
      'attemper_target_temperature',
      'What the temperature should be now.',
      view => view.target_C,
      'celsius',
    ),
    gauge(
      'attemper_thermostat_temperature',
      'What the thermostat is set to, while it is not off.',
      view => view.thermostat?.target_C ?? null,
      'celsius',
    ),
    gauge('attemper_gravity_ratio', 'Specific gravity 20/20 °C that is believed.', view => view.gravity),
    gauge(
      'attemper_beer_temperature_age',
      'Time since the temperature of the beer was measured, believed or not.',
      view => ageOf(view, view.measured.beer?.at_s),
      'seconds',
    ),
    gauge(
      'attemper_gravity_age',
      'Time since the gravity was measured, by hand or not.',
      view => ageOf(view, view.measured.gravity?.at_s),
      'seconds',
    ),
    {
      name: 'attemper_batch_verdict',
      type: 'stateset',
      help: 'Whether all is known to be well with the batch.',
      samples: views.flatMap(view =>
        VERDICTS.map(verdict => ({
          labels: { ...labelsOf(view), attemper_batch_verdict: verdict },
          value: view.verdict === verdict ? 1 : 0,
        })),
      ),
    },
    {
      name: 'attemper_appliance_confirmed',
      type: 'gauge',
      help: '1 while the appliance has confirmed what it was told. What can not be known has no sample.',
      samples: views.flatMap(view =>
        (['heater', 'cooler', 'thermostat'] as const).flatMap(appliance => {
          const link = view[appliance]?.link ?? null
          if (link === null || link.state === 'unknown') return []
          const value = link.state === 'confirmed' ? 1 : 0
          return [{ labels: { ...labelsOf(view), appliance }, value }]
        }),
      ),
    },
    gauge('attemper_questions', 'Questions that wait for an answer.', view => view.questions.length),
    {
      name: 'attemper_appliance_on',
      type: 'gauge',
      help: '1 while the appliance is to be on, 0 while it is to be off.',
      samples: views.flatMap(view =>
        (['heater', 'cooler'] as const).flatMap(appliance => {
          const state = view[appliance]
          return state === null ? [] : [{ labels: { ...labelsOf(view), appliance }, value: state.on ? 1 : 0 }]
        }),
      ),
    },
  ]
}

function ageOf({ now_ms }: BatchView, at_s: number | undefined): number | null {
  return at_s === undefined ? null : Math.max(0, Math.floor(now_ms / 1000) - at_s)
}

function sampleOf(view: BatchView, value: number | null): readonly MetricSample[] {
  return value === null ? [] : [{ labels: labelsOf(view), value }]
}

function labelsOf(view: BatchView): Readonly<Record<string, string>> {
  return { vessel: view.batch.vessel, batch: view.batch.id }
}
