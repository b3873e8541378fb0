import { findCycles } from '../cycles.ts'
import type { Rule } from '../rule.ts'
import { sayList } from '../say.ts'
import { isBarred } from '../ways.ts'

export const cycleWithoutEnd: Rule = {
  code: 'cycle-without-end',
  severity: 'error',
  title: 'Stages that lead to each other in a circle, and from which nothing leads to the finish.',
  why: 'The batch would go round for ever and never be complete.',
  check: ({ plan, ways, reachable, finish }) => {
    const onward = (stage: number) =>
      ways[stage]!.filter(way => !isBarred(way) && way.to < finish).map(way => way.to)
    const into: number[][] = ways.map(() => [])
    const open: number[] = []
    ways.forEach((out, stage) => {
      const free = out.filter(way => !isBarred(way))
      // A stage that never ends has its own finding; those that lead to it are not in a circle.
      if (free.length === 0 || free.some(way => way.to >= finish)) open.push(stage)
      for (const way of free) into[way.to]?.push(stage)
    })
    const leadsOut = ways.map(() => false)
    while (open.length > 0) {
      const stage = open.pop()!
      if (leadsOut[stage]) continue
      leadsOut[stage] = true
      open.push(...into[stage]!)
    }
    const circles = findCycles(finish, stage => (leadsOut[stage] ? [] : onward(stage)))
    return circles
      .filter(circle => reachable[circle[0]!])
      .map(circle => {
        const first = plan.stages[circle[0]!]!
        const names = sayList(circle.map(number => `'${plan.stages[number]!.name}'`))
        return {
          file: 'plan' as const,
          place: first.places.name,
          message:
            circle.length === 1
              ? `The stage ${names} leads only to itself, and never to the finish.`
              : `The stages ${names} lead only to each other, and never to the finish.`,
          cure: 'Let one of them go on to a stage that leads to the finish, or give it a longest time with `if late: ask`.',
        }
      })
  },
}
