import fc from 'fast-check'
import { expect, test } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { findCycles } from './cycles.ts'

test('two nodes are in one group if and only if each can reach the other', ({ task }) => {
  const graph = fc
    .integer({ min: 1, max: 9 })
    .chain(size =>
      fc.array(fc.array(fc.nat(size - 1), { maxLength: 3 }), { minLength: size, maxLength: size }),
    )
  judge(task, {}, [graph], edges => {
    const size = edges.length
    const reach = edges.map((_, from) => {
      const seen = new Set<number>()
      const open = [...edges[from]!]
      while (open.length > 0) {
        const node = open.pop()!
        if (seen.has(node)) continue
        seen.add(node)
        open.push(...edges[node]!)
      }
      return seen
    })
    const groups = findCycles(size, node => edges[node]!)
    const groupOf = (node: number) => groups.findIndex(group => group.includes(node))
    for (let a = 0; a < size; a++)
      for (let b = 0; b < size; b++)
        expect(groupOf(a) >= 0 && groupOf(a) === groupOf(b)).toBe(
          reach[a]!.has(b) && reach[b]!.has(a) && reach[a]!.has(a),
        )
    return groups.length
  })
})

test('a circle of 100 000 nodes does not exhaust the stack', () => {
  const size = 100_000
  expect(findCycles(size, node => [(node + 1) % size])[0]).toHaveLength(size)
})
