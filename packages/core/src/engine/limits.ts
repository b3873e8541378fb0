import { believed, channelInCharge, type Draft } from './draft.ts'
import { ask } from './questions.ts'
import { holdBatch } from './stages.ts'
import { presentStage } from './target.ts'

/** A broken limit counts as kept again only this far inside, so that noise at the limit does not ring the bell twice. */
const KEPT_AGAIN_K = 0.2

/** Watches the plan's absolute limits: says when one is broken or kept again, and holds the batch unless the plan wants an alarm only. */
export function watchLimits(draft: Draft): void {
  const { program, state, scope, now_s, events } = draft
  const beer_C = believed(draft, program.beer)
  const stage = presentStage(draft)
  if (beer_C === null || stage === null) return
  const askToGoOn = (limit: 'lowest' | 'highest') => ask(draft, 'limit', stage.name, '', limit)
  const channel = channelInCharge(draft, program.beer)
  const before = state.limitBroken
  if (before !== null) {
    const limit_C = before === 'highest' ? program.highest_C : program.lowest_C
    const isKept =
      before === 'highest'
        ? scope.atMost(channel, beer_C, limit_C - KEPT_AGAIN_K)
        : scope.atLeast(channel, beer_C, limit_C + KEPT_AGAIN_K)
    if (!isKept) {
      if (state.batch === 'held' && program.ifBroken !== 'alarm') askToGoOn(before)
      return
    }
    state.limitBroken = null
    events.push({ kind: 'limit kept', at_s: now_s, limit: before, limit_C, beer_C })
    scope.lookAgain()
    if (state.batch === 'held' && program.ifBroken !== 'alarm') {
      // Whoever said 'not yet' to a broken limit is asked anew: it is another question now.
      state.declined = state.declined.filter(({ key }) => !key.startsWith('limit|'))
      askToGoOn(before)
    }
    return
  }
  const isTooWarm = !scope.atMost(channel, beer_C, program.highest_C)
  const isTooCold = !scope.atLeast(channel, beer_C, program.lowest_C)
  if (!isTooWarm && !isTooCold) return
  const limit = isTooWarm ? 'highest' : 'lowest'
  state.limitBroken = limit
  const limit_C = isTooWarm ? program.highest_C : program.lowest_C
  events.push({ kind: 'limit broken', at_s: now_s, limit, limit_C, beer_C })
  scope.lookAgain()
  // A plan that is over has no stage to be held in.
  if (program.ifBroken === 'alarm' || state.batch === 'complete') return
  holdBatch(draft, 'limit', `the beer is beyond the plan's ${limit} limit`)
  askToGoOn(limit)
}
