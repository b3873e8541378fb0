import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import type { Column } from '../charts/plot.ts'
import { runCurves } from './run-curves.ts'
import { type Transition, transitionsOf } from './transitions.ts'

/** The way of the nominal run along the path, and where it went on to its next stages. Plain data, which a page can carry. */
export interface NominalCourse {
  readonly beer_C: Column
  readonly gravity: Column
  readonly transitions: readonly Transition[]
}

export function nominalCourse(nominal: RunRecord, setup: Pick<Setup, 'sample_s' | 'plan'>): NominalCourse {
  const { temperature, gravity } = runCurves(nominal, setup, { temperature: 'C', gravity: 'SG', volume: 'L' })
  return { beer_C: temperature, gravity, transitions: transitionsOf(nominal, setup) }
}
