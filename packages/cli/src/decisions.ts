import type { EngineEvent } from '@attemper/core/engine/events.ts'

/** A decision as published by `replay --json` and `rehearse --show --json`. */
export interface PublishedDecision {
  /** Local time, without a zone: 2026-12-04T18:00:00. */
  readonly time: string
  readonly hours: number
  readonly kind: EngineEvent['kind']
  readonly sentence: string
  readonly event: EngineEvent
}

/** `start_s` and the events' times are seconds on the vessel's own clock. */
export function decisionsData(
  events: readonly EngineEvent[],
  say: (event: EngineEvent) => string,
  start_s: number,
): PublishedDecision[] {
  return events.map(event => ({
    time: localTime(event.at_s),
    hours: (event.at_s - start_s) / 3600,
    kind: event.kind,
    sentence: say(event),
    event,
  }))
}

/** 2026-12-04T18:00:00, from seconds since 1970-01-01T00:00 on a local clock. */
export function localTime(local_s: number): string {
  return new Date(local_s * 1000).toISOString().slice(0, 19)
}
