/** Groups of nodes that can reach each other, after Tarjan (1972), without recursion. Single nodes only with an edge to themselves. */
export function findCycles(
  size: number,
  edges: (node: number) => readonly number[],
): readonly (readonly number[])[] {
  const index = new Array<number>(size).fill(-1)
  const low = new Array<number>(size).fill(0)
  const onStack = new Array<boolean>(size).fill(false)
  const stack: number[] = []
  const groups: number[][] = []
  let count = 0
  for (let root = 0; root < size; root++) {
    if (index[root] !== -1) continue
    const calls: { readonly node: number; readonly onward: readonly number[]; next: number }[] = []
    const enter = (node: number) => {
      index[node] = count
      low[node] = count
      count++
      stack.push(node)
      onStack[node] = true
      calls.push({ node, onward: edges(node), next: 0 })
    }
    enter(root)
    while (calls.length > 0) {
      const call = calls.at(-1)!
      const { node } = call
      if (call.next < call.onward.length) {
        const to = call.onward[call.next]!
        call.next++
        if (index[to] === -1) enter(to)
        else if (onStack[to]) low[node] = Math.min(low[node]!, index[to]!)
        continue
      }
      calls.pop()
      const caller = calls.at(-1)
      if (caller) low[caller.node] = Math.min(low[caller.node]!, low[node]!)
      if (low[node] !== index[node]) continue
      const group: number[] = []
      for (;;) {
        const member = stack.pop()!
        onStack[member] = false
        group.push(member)
        if (member === node) break
      }
      if (group.length > 1 || call.onward.includes(node)) groups.push(group.sort((a, b) => a - b))
    }
  }
  return groups
}
