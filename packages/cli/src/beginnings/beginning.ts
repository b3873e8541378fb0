import type { YeastClass } from '@attemper/core/beer/beer.ts'

/** What `attemper new` wants to know about a first batch. Numbers as they stand in the files. */
export interface Beginning {
  readonly name: string
  readonly volume_L: number
  readonly originalGravity: number
  readonly finalGravity: number
  readonly yeast: YeastClass
  readonly target_C: number
  readonly equipment: 'fridge' | 'pad'
  /** Local date and time, 2026-12-04T18:00. */
  readonly start: string
}

/** What each class of yeast is usually at home with (common practice, no source). */
export const YEAST_HABITS: Readonly<
  Record<YeastClass, { lowest_C: number; target_C: number; highest_C: number; pitch: number }>
> = {
  ale: { lowest_C: 16, target_C: 18, highest_C: 23, pitch: 0.75 },
  lager: { lowest_C: 8, target_C: 11, highest_C: 16, pitch: 1.5 },
  wheat: { lowest_C: 16, target_C: 19, highest_C: 24, pitch: 0.75 },
  saison: { lowest_C: 18, target_C: 24, highest_C: 30, pitch: 0.75 },
  kveik: { lowest_C: 22, target_C: 32, highest_C: 40, pitch: 0.6 },
}

/** A first batch of which nobody said anything. */
export function usualBeginning(today: string): Beginning {
  return {
    name: 'First ale',
    volume_L: 20,
    originalGravity: 1.05,
    finalGravity: 1.012,
    yeast: 'ale',
    target_C: YEAST_HABITS.ale.target_C,
    equipment: 'fridge',
    start: `${today}T18:00`,
  }
}
