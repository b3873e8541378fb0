import type { Shape } from './shape.ts'

export interface ListOptions {
  /** In the plural: "stages". */
  readonly called: string
  readonly example: string
  readonly least?: number
  readonly most: number
}

/** A list of things of one shape; faulty items are left out after having been reported. */
export function list<T>(item: Shape<T>, options: ListOptions): Shape<readonly T[]> {
  const { called, example, least = 0, most } = options
  return {
    schema: { type: 'array', items: item.schema, minItems: least, maxItems: most },
    read: (node, reading) => {
      if (node.kind !== 'list') {
        const isEmpty = node.kind === 'scalar' && node.text.trim() === ''
        reading.report(
          isEmpty ? 'missing-value' : 'wrong-type',
          node.place,
          isEmpty ? `Here should stand a list of ${called}.` : `This is not a list of ${called}.`,
          `Write it like ${example}.`,
        )
        return undefined
      }
      if (node.items.length < least) {
        reading.report(
          'missing-value',
          node.place,
          `The list of ${called} is empty.`,
          `Write it like ${example}.`,
        )
        return undefined
      }
      if (node.items.length > most) {
        reading.report(
          'too-many',
          node.place,
          `There are ${node.items.length} ${called}.`,
          `Write at most ${most} ${called}.`,
        )
        return undefined
      }
      return node.items.flatMap(each => {
        const value = item.read(each, reading)
        return value === undefined ? [] : [value]
      })
    },
  }
}
