import { Type } from 'typebox'
import { Moment_ms } from '../schemas.ts'

export const Health = Type.Object(
  { alive: Type.Literal(true), now_ms: Moment_ms, speed: Type.Number() },
  { description: 'It is. `speed`: how many cellar seconds pass in a real one.' },
)
