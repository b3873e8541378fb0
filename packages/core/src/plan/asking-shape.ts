import type { Shape } from '../source-text/shape.ts'
import { flagOf, words } from '../source-text/value-shapes.ts'

/** Whether the brewer is asked first, and in which words. */
export interface Asking {
  readonly askFirst: boolean
  readonly question?: string
}

export const askingShape: Shape<Asking> = {
  schema: { anyOf: [{ type: 'boolean' }, words.schema] },
  read: (node, reading) => {
    if (node.kind === 'scalar') {
      const flag = flagOf(node.text)
      if (flag !== undefined) return { askFirst: flag }
    }
    const question = words.read(node, reading)
    return question === undefined ? undefined : { askFirst: true, question }
  },
}
