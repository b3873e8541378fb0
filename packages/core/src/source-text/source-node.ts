import type { Place } from '../place.ts'

/** A text as a tree of mappings, lists and scalars, each with its place; independent of the notation it was written in. */
export type SourceNode = SourceScalar | SourceList | SourceMapping

/** Every scalar is kept as text: what it means is decided where it is used, so that 1.050 and "1.050" are the same. */
export interface SourceScalar {
  readonly kind: 'scalar'
  readonly text: string
  readonly place: Place
  /** Offset in the source at which `text` stands letter by letter; null when it was folded or escaped. */
  readonly verbatimAt: number | null
}

export interface SourceList {
  readonly kind: 'list'
  readonly items: readonly SourceNode[]
  readonly place: Place
}

export interface SourceMapping {
  readonly kind: 'mapping'
  readonly entries: readonly SourceEntry[]
  readonly place: Place
}

export interface SourceEntry {
  readonly key: string
  readonly keyPlace: Place
  readonly value: SourceNode
}
