import { Type } from 'typebox'
import { Moment_ms } from '../schemas.ts'

const Records = Type.Enum(['kept', 'little room', 'failing'])

export const Health = Type.Object(
  { alive: Type.Literal(true), now_ms: Moment_ms, speed: Type.Number(), records: Records },
  {
    description:
      'It is. `speed`: how many cellar seconds pass in a real one. `records`: whether they are kept, the disk is nearly full, or they can not be written.',
  },
)

export const RecordsHealth = Type.Object({ records: Records }, { description: 'They are kept.' })
