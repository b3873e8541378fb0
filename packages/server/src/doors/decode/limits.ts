/** Bounds on what one message may ask of the machine; a day of readings at one a minute fits with room to spare. */
export const LIMITS = {
  bytes: 4 * 1024 * 1024,
  records: 10_000,
  depth: 32,
} as const
