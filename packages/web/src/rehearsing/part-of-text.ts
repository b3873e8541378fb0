import type { Part } from './case.svelte.ts'

/**
 * Which of the three a text from a file is, by its first words; null: none of them. A vessel also says how much beer it
 * holds, so it is looked for first.
 */
export function partOfText(text: string): Part | null {
  const has = (key: string) => new RegExp(`^[\\s{]*["']?${key}["']?\\s*:`, 'm').test(text)
  if (has('vessel')) return 'vessel'
  if (has('plan') || has('stages')) return 'plan'
  return has('beer') ? 'beer' : null
}
