import { Type } from 'typebox'
import { LONGEST_D, SHORTEST_D } from '../../retention/rule.ts'

const Days = (what: string) =>
  Type.Union([Type.Integer({ minimum: SHORTEST_D, maximum: LONGEST_D }), Type.Null()], {
    description: `${what}, in days from ${SHORTEST_D} to ${LONGEST_D}; null: for ever.`,
  })

const rule = {
  fullDetail_d: Days('How long every single reading is kept outside of batches'),
  byTheMinute_d: Days('How long a value for each minute is kept outside of batches, not shorter'),
}

export const NewRetention = Type.Object(rule, { additionalProperties: false })

export const Retention = Type.Object(
  { ...rule, sentence: Type.String({ description: 'The rule in plain words.' }) },
  { description: 'A value for each hour, and everything about a batch, is kept for ever.' },
)
