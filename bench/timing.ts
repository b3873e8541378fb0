/**
 * Processor time of this thread, ms. Other work on the machine moves it much less than the clock on the wall; it includes
 * this thread's share of collecting garbage, not that of V8's helper threads.
 */
export function threadTime_ms(): number {
  const { user, system } = process.threadCpuUsage()
  return (user + system) / 1000
}

/** Processor time that one call takes, ms. */
export function timeOf_ms(call: () => unknown): number {
  const from_ms = threadTime_ms()
  call()
  return threadTime_ms() - from_ms
}

export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b)
  const middle = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2
}
