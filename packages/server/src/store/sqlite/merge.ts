import type { Columns } from './block.ts'

/** Both in the order of time. Where both have a reading of the same time, that of `first` stays. */
export function mergeColumns(first: Columns, second: Columns): Columns {
  if (second.at_ms.length === 0) return first
  if (first.at_ms.length === 0) return second
  const most = first.at_ms.length + second.at_ms.length
  const at_ms = new Float64Array(most)
  const values = new Float64Array(most)
  const statuses = new Uint8Array(most)
  let count = 0
  let i = 0
  let j = 0
  while (i < first.at_ms.length || j < second.at_ms.length) {
    const one = first.at_ms[i] ?? Number.POSITIVE_INFINITY
    const other = second.at_ms[j] ?? Number.POSITIVE_INFINITY
    const [from, at] = one <= other ? [first, i] : [second, j]
    at_ms[count] = Math.min(one, other)
    values[count] = from.values[at] ?? Number.NaN
    statuses[count] = from.statuses[at] ?? 0
    count++
    if (one <= other) i++
    if (other <= one) j++
  }
  return {
    at_ms: at_ms.subarray(0, count),
    values: values.subarray(0, count),
    statuses: statuses.subarray(0, count),
  }
}
