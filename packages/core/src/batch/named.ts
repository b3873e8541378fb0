/** Whoever sits at the machine itself, and the software: not worth a name in a sentence. */
const UNNAMED: readonly string[] = ['brewer', 'attemper']

export function isNamed(by: string): boolean {
  return !UNNAMED.includes(by)
}

/** " by Kim"; empty for somebody without a name. */
export function byWhom(by: string | null): string {
  return by === null || !isNamed(by) ? '' : ` by ${by}`
}
