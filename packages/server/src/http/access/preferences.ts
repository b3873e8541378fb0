import { type DisplayUnits, USUAL_UNITS } from '@attemper/core/units/display.ts'
import type { Store } from '../../store/store.ts'
import { listDocument } from './documents.ts'

/** How somebody wants to read things. */
export interface Preferences extends DisplayUnits {
  readonly clock: '24 h' | '12 h'
  readonly appearance: 'system' | 'light' | 'dark'
}

export const USUAL_PREFERENCES: Preferences = { ...USUAL_UNITS, clock: '24 h', appearance: 'system' }

interface Kept {
  readonly name: string
  readonly preferences: Partial<Preferences>
}

/** What each person prefers, by name, kept with the cellar: so it is the same on the telephone and at the desk. */
export class PreferenceBook {
  readonly #list

  constructor(store: Store) {
    this.#list = listDocument<Kept>(store, 'access.preferences')
  }

  of(name: string): Preferences {
    const kept = this.#list.read().find(one => one.name === name)
    return { ...USUAL_PREFERENCES, ...kept?.preferences }
  }

  /** What is left out is as usual. Those of people whom `isKnown` does not know any more are forgotten. */
  put(name: string, preferences: Partial<Preferences>, isKnown: (name: string) => boolean): Preferences {
    const others = this.#list.read().filter(one => one.name !== name && isKnown(one.name))
    this.#list.write([...others, { name, preferences }])
    return this.of(name)
  }
}
