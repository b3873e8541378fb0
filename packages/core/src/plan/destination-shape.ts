import type { Shape } from '../source-text/shape.ts'
import { nameOf } from '../source-text/value-shapes.ts'
import type { Destination } from './plan.ts'

/** The end of the plan; no stage can have this name. */
export const FINISH = 'finish'

/** The name of a stage, or `finish`. That the stage exists is checked when the whole plan has been read. */
export const destinationShape: Shape<Destination> = {
  schema: { anyOf: [nameOf('stage').schema, { const: FINISH, description: 'The end of the plan.' }] },
  read: (node, reading) => {
    const stage = nameOf('stage').read(node, reading)
    if (stage === undefined) return undefined
    if (stage === FINISH) return { kind: 'finish' }
    reading.mention('stage', stage, node.place)
    return { kind: 'stage', name: stage, place: node.place }
  },
}
