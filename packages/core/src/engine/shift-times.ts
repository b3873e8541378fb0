import type { ApplianceState, EngineState } from './contract.ts'

/**
 * The same state on a clock that has been put right by `by_s` seconds: every moment is moved with it, so that what has
 * lasted two hours has still lasted two hours.
 */
export function shiftTimes(state: EngineState, by_s: number): EngineState {
  const moved = <T extends number | null>(at_s: T) => (at_s === null ? at_s : at_s + by_s) as T
  const appliance = (each: ApplianceState): ApplianceState => ({
    ...each,
    since_s: moved(each.since_s),
    ranUntil_s: moved(each.ranUntil_s),
    leaseUntil_s: moved(each.leaseUntil_s),
    watchFrom_s: moved(each.watchFrom_s),
  })
  return {
    ...state,
    startedAt_s: moved(state.startedAt_s),
    now_s: moved(state.now_s),
    stageSince_s: moved(state.stageSince_s),
    reachedAt_s: moved(state.reachedAt_s),
    ...(state.hold ? { hold: { ...state.hold, since_s: moved(state.hold.since_s) } } : {}),
    unknownSince_s: moved(state.unknownSince_s),
    lateAt_s: moved(state.lateAt_s),
    ...(state.lookedAt_s == null ? {} : { lookedAt_s: moved(state.lookedAt_s) }),
    ...(state.restartedAt_s == null ? {} : { restartedAt_s: moved(state.restartedAt_s) }),
    channels: state.channels.map(channel => ({
      ...channel,
      ...(channel.still ? { still: { ...channel.still, since_s: moved(channel.still.since_s) } } : {}),
      ...(channel.stuckSince_s == null ? {} : { stuckSince_s: moved(channel.stuckSince_s) }),
      ...(channel.row ? { row: { ...channel.row, since_s: moved(channel.row.since_s) } } : {}),
      ...(channel.sure ? { sure: [moved(channel.sure[0]), channel.sure[1]] as const } : {}),
      at_s: moved(channel.at_s),
      history: channel.history.map(([at_s, value]) => [moved(at_s), value] as const),
    })),
    dwells: state.dwells.map(({ trueSince_s }) => ({ trueSince_s: moved(trueSince_s) })),
    declined: state.declined.map(each => ({ ...each, until_s: moved(each.until_s) })),
    disagreeing: state.disagreeing.map(each => ({ ...each, since_s: moved(each.since_s) })),
    heater: appliance(state.heater),
    cooler: appliance(state.cooler),
    thermostat: state.thermostat && {
      ...state.thermostat,
      leaseUntil_s: moved(state.thermostat.leaseUntil_s),
      watchFrom_s: moved(state.thermostat.watchFrom_s),
    },
    controller: {
      ...state.controller,
      windowFrom_s: moved(state.controller.windowFrom_s),
      heatUntil_s: moved(state.controller.heatUntil_s),
      coolUntil_s: moved(state.controller.coolUntil_s),
    },
  }
}
