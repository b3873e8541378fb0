/**
 * The candidate that was probably meant by a misspelt word; null when none is near enough to be suggested.
 * Near: at most a third of the word's letters (at least one, at most three) are wrong, missing, added or swapped
 * (optimal string alignment distance); upper and lower case count as the same letter.
 */
export function nearestWord(word: string, candidates: Iterable<string>): string | null {
  const wanted = word.trim().toLowerCase()
  if (wanted === '' || wanted.length > 60) return null
  const allowed = Math.min(3, Math.max(1, Math.floor(wanted.length / 3)))
  let best: string | null = null
  let bestDistance = allowed + 1
  for (const candidate of candidates) {
    if (Math.abs(candidate.length - wanted.length) >= bestDistance) continue
    const distance = alignmentDistance(wanted, candidate.toLowerCase())
    // A suggestion that shares no letter with what was written ("d" for "h") is a guess, not a correction.
    if (distance < bestDistance && distance < candidate.length) {
      best = candidate
      bestDistance = distance
    }
  }
  return best
}

function alignmentDistance(a: string, b: string): number {
  let before: number[] = []
  let last = Array.from({ length: b.length + 1 }, (_, j) => j)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++) {
      const substituted = last[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)
      let least = Math.min(substituted, last[j]! + 1, row[j - 1]! + 1)
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        least = Math.min(least, before[j - 2]! + 1)
      }
      row.push(least)
    }
    before = last
    last = row
  }
  return last[b.length]!
}
