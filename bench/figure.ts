/** One measured figure, and what it is held against. Goals: first target and what is to be aimed at. */
export interface Figure {
  readonly name: string
  readonly value: number
  readonly unit: string
  readonly goal?: { readonly first: number; readonly aim: number; readonly better: 'less' | 'more' }
  /** What should be known about how it was measured. */
  readonly note?: string
}

export function figureLine(figure: Figure): string {
  const { name, value, unit, goal, note } = figure
  const parts = [`${name.padEnd(52)} ${short(value).padStart(8)} ${unit.padEnd(8)}`]
  if (goal !== undefined) {
    const isReached = (bound: number) => (goal.better === 'less' ? value <= bound : value >= bound)
    const sign = goal.better === 'less' ? '≤' : '≥'
    const say = (bound: number) =>
      `${isReached(bound) ? 'goal reached' : 'goal missed'} (${sign} ${bound} ${unit})`
    parts.push(`first: ${say(goal.first)}, aim: ${say(goal.aim)}`)
  }
  if (note !== undefined) parts.push(`\n    ${note}`)
  return parts.join('  ').trimEnd()
}

function short(value: number): string {
  const size = Math.abs(value)
  return value.toFixed(size >= 100 ? 0 : size >= 10 ? 1 : size >= 0.1 ? 2 : 5)
}
