/**
 * How this person wants to read things. The cellar keeps it for each person; this browser keeps it too, so that the first
 * picture is drawn as it is wanted.
 */
import { type DisplayUnits, USUAL_UNITS } from '@attemper/core/units/display.ts'
import type { Preferences } from '@attemper/server/http/published.ts'
import * as api from '../api/cellar-api.ts'

const USUAL: Preferences = { ...USUAL_UNITS, clock: '24 h', appearance: 'system' }
const KEPT_AS = 'preferences'

class PreferencesState {
  all = $state.raw<Preferences>(kept())

  constructor() {
    show(this.all)
  }

  get units(): DisplayUnits {
    return this.all
  }

  /** Fetches what the cellar keeps for this person. */
  async load(): Promise<void> {
    this.#take(await api.preferences())
  }

  /** Shows it at once, and has the cellar keep it; throws a Trouble when the cellar does not. */
  async set(part: Partial<Preferences>): Promise<void> {
    const before = this.all
    this.#take({ ...before, ...part })
    try {
      await api.putPreferences(this.all)
    } catch (error) {
      this.#take(before)
      throw error
    }
  }

  #take(preferences: Preferences): void {
    this.all = preferences
    try {
      localStorage.setItem(KEPT_AS, JSON.stringify(preferences))
    } catch {
      // A browser that keeps nothing draws the first picture in the usual way.
    }
    show(preferences)
  }
}

export const preferences = new PreferencesState()

function kept(): Preferences {
  try {
    return { ...USUAL, ...(JSON.parse(localStorage.getItem(KEPT_AS) ?? '{}') as Partial<Preferences>) }
  } catch {
    return USUAL
  }
}

function show({ appearance }: Preferences): void {
  const root = document.documentElement
  if (appearance === 'system') root.removeAttribute('data-appearance')
  else root.dataset.appearance = appearance
}
