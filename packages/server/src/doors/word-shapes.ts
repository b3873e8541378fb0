import type { Shape } from '@attemper/core/source-text/shape.ts'
import { name, quantity } from '@attemper/core/source-text/value-shapes.ts'

/** A text that has to look like its example. */
export function pattern(called: string, allowed: RegExp, example: string, cure = ''): Shape<string> {
  return {
    schema: { type: 'string', pattern: allowed.source },
    read: (node, reading) => {
      const written = name.read(node, reading)
      if (written === undefined || allowed.test(written)) return written
      reading.report(
        'not-a-choice',
        node.place,
        `“${written.slice(0, 60)}” is not ${called}.`,
        `Write it like ${example}.${cure}`,
      )
      return undefined
    },
  }
}

export function whole(least: number, greatest: number): Shape<number> {
  const said = `Write a whole number from ${least} to ${greatest}.`
  const inner = quantity('number', { least, greatest, said })
  return {
    schema: { type: 'integer', minimum: least, maximum: greatest },
    read: (node, reading) => {
      const value = inner.read(node, reading)
      if (value === undefined || Number.isInteger(value)) return value
      reading.report('out-of-range', node.place, `${value} is not a whole number.`, said)
      return undefined
    },
  }
}
