/** Something that is asked for its reading. */
export interface Source {
  /** Of the door, for the counts: 'one-wire', 'modbus', ... */
  readonly door: string
  /** Never rejects. */
  sound(): Promise<Sounding>
}

/** What was found: a value, perhaps one that is not to be believed, or none; with a sentence on what is wrong. */
export type Sounding =
  | { readonly value: number; readonly unit: string | undefined; readonly problem: string | null }
  | { readonly value: null; readonly problem: string }
