import type { ProofContext } from '../context.ts'
import { findCycles } from '../cycles.ts'
import type { Rule } from '../rule.ts'
import { sayList } from '../say.ts'
import { isBarred, type Way } from '../ways.ts'

export const cycleWithoutTime: Rule = {
  code: 'cycle-without-time',
  severity: 'error',
  title:
    'A circle of stages whose conditions can all be true at once, so that it turns without time passing.',
  why: 'The batch would spin through the stages second by second, each time beginning its target anew.',
  check: context => {
    const { plan, finish } = context
    const quick = plan.stages.map((_, number) => quickWays(context, number))
    const circles = findCycles(finish, stage => quick[stage]!.map(way => way.to))
    return circles.flatMap(circle => {
      const turn = findTurn(context, circle, quick)
      if (!turn) return []
      const names = turn.map(way => `'${plan.stages[way.from]!.name}'`)
      return [
        {
          file: 'plan' as const,
          place: turn[0]!.place,
          message:
            turn.length === 1
              ? `The stage ${names[0]} can lead back to itself at once, without time passing.`
              : `The stages ${sayList(names)} can lead round to each other at once, without time passing.`,
          cure: 'Let something in the circle take time, such as `stage lasted: 6 h`, or let conditions exclude each other.',
        },
      ]
    })
  },
}

function quickWays({ plan, ways, finish, reachable }: ProofContext, number: number): readonly Way[] {
  const stage = plan.stages[number]!
  if (!reachable[number] || stage.tasks.some(task => task.wait)) return []
  return ways[number]!.filter(way => !isBarred(way) && !way.asks && way.least_s === 0 && way.to < finish)
}

/** So many circles through different stages are tried; one is enough to report. */
const MOST_TRIED = 20

/** The shortest way round through some stage whose conditions do not exclude each other. */
function findTurn(
  context: ProofContext,
  circle: readonly number[],
  quick: readonly (readonly Way[])[],
): readonly Way[] | null {
  const members = new Set(circle)
  for (const start of circle.slice(0, MOST_TRIED)) {
    const turn = shortestTurn(start, members, quick)
    const conditions = turn.flatMap(way => (way.condition ? [way.condition] : []))
    if (turn.length > 0 && !context.neverTogether(conditions)?.certain) return turn
  }
  return null
}

function shortestTurn(
  start: number,
  members: ReadonlySet<number>,
  quick: readonly (readonly Way[])[],
): readonly Way[] {
  const cameBy = new Map<number, Way>()
  const open = [start]
  for (let next = 0; next < open.length; next++) {
    for (const way of quick[open[next]!]!) {
      if (!members.has(way.to) || cameBy.has(way.to)) continue
      cameBy.set(way.to, way)
      if (way.to !== start) {
        open.push(way.to)
        continue
      }
      const turn: Way[] = []
      let at = start
      do {
        const last = cameBy.get(at)!
        turn.unshift(last)
        at = last.from
      } while (at !== start)
      return turn
    }
  }
  return []
}
