import type { Clock } from '../../live/clock.ts'
import type { ApplianceDoor } from '../appliance-door.ts'
import { commandMessage } from './command-message.ts'

const ANSWERS_WITHIN_MS = 5000

/** Commands as PUT requests with a JSON body. Without an answer of success in time it is tried once more. */
export function httpAppliance(
  url: string,
  clock: Clock,
  answersWithin_ms: number = ANSWERS_WITHIN_MS,
): ApplianceDoor {
  const closing = new AbortController()
  const attempt = async (body: string): Promise<{ problem: string; refused: boolean } | null> => {
    try {
      const response = await fetch(url, {
        method: 'PUT',
        headers: { 'content-type': 'application/json' },
        body,
        redirect: 'error',
        signal: AbortSignal.any([closing.signal, AbortSignal.timeout(answersWithin_ms)]),
      })
      await response.body?.cancel()
      return response.ok ? null : { problem: `it answers ${response.status} instead of 200`, refused: true }
    } catch (problem) {
      return { problem: reasonOf(problem, answersWithin_ms), refused: false }
    }
  }
  return {
    async send(command) {
      const body = commandMessage(command, clock.now_ms())
      let met = await attempt(body)
      if (met !== null && !closing.signal.aborted) met = await attempt(body)
      if (met === null) return { sent: true, problem: null, confirmed: 'answer' }
      return { sent: false, problem: `${url}: ${met.problem}`, ...(met.refused ? { refused: true } : {}) }
    },
    mustAsk: () => true,
    async close() {
      closing.abort()
    },
  }
}

function reasonOf(problem: unknown, answersWithin_ms: number): string {
  if (!(problem instanceof Error)) return String(problem)
  if (problem.name === 'TimeoutError') return `no answer within ${answersWithin_ms / 1000} s`
  if (problem.name === 'AbortError') return 'the cellar is closing'
  const { cause } = problem
  return cause instanceof Error && cause.message !== '' ? cause.message : problem.message
}
