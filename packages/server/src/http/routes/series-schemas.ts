import { Type } from 'typebox'
import { Moment_ms, Name } from '../schemas.ts'

export const Stream = Type.Object({ vessel: Name, instrument: Name, quantity: Name })

export const Reading = Type.Object({
  at_ms: Moment_ms,
  value: Type.Number({ description: 'In the quantity’s own unit (°C, SG, Pa, ...).' }),
  status: Type.Enum(['good', 'uncertain', 'bad']),
})

export const Bucket = Type.Object({
  from_ms: Moment_ms,
  count: Type.Integer(),
  min: Type.Number(),
  max: Type.Number(),
  mean: Type.Number(),
})

export const HistoryBucket = Type.Object({
  ...Bucket.properties,
  instrument: Type.String({ description: 'The one that was believed then.' }),
})
