/**
 * How this person wants to read things. Kept by the cellar for each person, and beside that in this browser, so that the
 * first picture is drawn as it is wanted.
 */
import { type DisplayUnits, USUAL_UNITS } from '@attemper/core/units/display.ts'

export interface Preferences extends DisplayUnits {
  readonly clock: '24 h' | '12 h'
  readonly appearance: 'system' | 'light' | 'dark'
}

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

  set(part: Partial<Preferences>): void {
    this.all = { ...this.all, ...part }
    try {
      localStorage.setItem(KEPT_AS, JSON.stringify(this.all))
    } catch {
      // A browser that keeps nothing asks again at the next visit.
    }
    show(this.all)
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
