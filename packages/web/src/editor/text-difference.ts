/** What has to be exchanged in a text to get another one: one stretch, as short as possible. null when they are equal. */
export interface TextDifference {
  readonly from: number
  readonly to: number
  readonly insert: string
}

export function textDifference(before: string, after: string): TextDifference | null {
  if (before === after) return null
  const shorter = Math.min(before.length, after.length)
  let from = 0
  while (from < shorter && before[from] === after[from]) from += 1
  let behind = 0
  while (behind < shorter - from && before.at(-1 - behind) === after.at(-1 - behind)) behind += 1
  return { from, to: before.length - behind, insert: after.slice(from, after.length - behind) }
}
