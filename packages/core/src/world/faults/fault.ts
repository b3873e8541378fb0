/**
 * What can go wrong, as data: drills and tests put these into a world. From `from_s` (included) to `to_s` (not included),
 * seconds since 1970-01-01T00:00 UTC, rounded up to whole ones; `to_s` may be Infinity.
 */
export type Fault = { readonly from_s: number; readonly to_s: number } & (
  | { readonly kind: 'instrument silent'; readonly instrument: string }
  /** Reports only at every so many seconds (rounded up to a multiple of its usual interval). */
  | { readonly kind: 'instrument slow'; readonly instrument: string; readonly every_s: number }
  /** Repeats the value that it would have read at `from_s`. */
  | { readonly kind: 'channel stuck'; readonly channel: number }
  /** All thermometers of the instrument hang in the cabinet's air (without a cabinet: the room). */
  | { readonly kind: 'thermometer displaced'; readonly instrument: string; readonly into: 'air' | 'room' }
  /** A thermostat's own thermometer hangs there. */
  | { readonly kind: 'thermostat displaced'; readonly into: 'air' | 'room' }
  | { readonly kind: 'heater welded' | 'heater dead' | 'cooler welded' | 'cooler dead' }
  /** Commands do not arrive; readings do. */
  | { readonly kind: 'network cut' }
  /** Appliances and controller off, instruments silent. */
  | { readonly kind: 'power cut' }
  /** Nobody calls the engine; leases lapse. */
  | { readonly kind: 'controller down' }
  | { readonly kind: 'room warmer'; readonly by_K: number }
  /** Factor on the conductance between the cabinet's air and the room. */
  | { readonly kind: 'door open'; readonly factor: number }
  /** Its gravity reads as water, its thermometers read the room. */
  | { readonly kind: 'float not in wort'; readonly instrument: string }
  /** The yeast stops when this share of the fermentable extract is left. */
  | { readonly kind: 'fermentation stuck'; readonly atShare: number }
  | { readonly kind: 'fermentation speed'; readonly factor: number }
  /** The true final gravity differs from the drawn one, for the whole run, whatever the times. */
  | { readonly kind: 'final gravity'; readonly offset_SG: number }
)

export function faultActive(fault: Fault, t_s: number): boolean {
  return fault.from_s <= t_s && t_s < fault.to_s
}

export function onWholeSeconds(fault: Fault): Fault {
  return { ...fault, from_s: Math.ceil(fault.from_s), to_s: Math.ceil(fault.to_s) }
}
