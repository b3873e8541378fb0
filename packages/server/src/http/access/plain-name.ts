import { actingIn } from '@attemper/core/units/plain-text.ts'
import { HttpProblem } from '../errors.ts'

/** A new name may hold nothing that would be a command to a terminal, or make it read as another. Throws an HttpProblem. */
export function requirePlainName(name: string): void {
  const acting = actingIn(name)
  if (acting === null) return
  throw new HttpProblem('wrong-value', `The name holds a character that can not be seen (${acting}).`, {
    cure: 'Write it anew, with letters, digits and signs only.',
  })
}
