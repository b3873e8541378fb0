/**
 * What was last seen of the cellar, kept in this browser: whoever opens the screens while the cellar is out of reach sees
 * how it was, and how long ago that is.
 */
import type { Alarm, Vessel, View } from '@attemper/server/http/published.ts'

export interface LastPicture {
  /** The cellar's time when it was last heard of, and this machine's. */
  readonly heard_ms: number
  readonly here_ms: number
  readonly speed: number
  readonly vessels: readonly Vessel[]
  readonly views: readonly View[]
  readonly alarms: readonly Alarm[]
}

const KEPT_AS = 'last picture'

export function keepPicture(picture: LastPicture): void {
  try {
    localStorage.setItem(KEPT_AS, JSON.stringify(picture))
  } catch {
    // No room, or not allowed: then there is no picture while the cellar is out of reach.
  }
}

export function keptPicture(): LastPicture | null {
  try {
    return JSON.parse(localStorage.getItem(KEPT_AS) ?? 'null') as LastPicture | null
  } catch {
    return null
  }
}

/** Whoever has to sign in must not see what another has seen before. */
export function forgetPicture(): void {
  try {
    localStorage.removeItem(KEPT_AS)
  } catch {
    // Then there is none.
  }
}
