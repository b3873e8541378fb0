/**
 * One request to the cellar that served these screens. A refusal, and a cellar that does not answer, are both thrown as a
 * `Trouble`, whose message can be shown to a brewer as it is.
 */
import type { Problem } from '@attemper/server/http/published.ts'

export class Trouble extends Error {
  /** null: the cellar did not answer at all. */
  readonly problem: Problem | null
  readonly status: number

  constructor(message: string, status: number, problem: Problem | null) {
    super(message)
    this.name = 'Trouble'
    this.status = status
    this.problem = problem
  }

  get code(): string {
    return this.problem?.code ?? 'no-answer'
  }

  /** What is wrong and what would be right, as one text. */
  get sentence(): string {
    const cure = this.problem?.cure
    return cure === undefined ? this.message : `${this.message} ${cure}`
  }
}

const PATIENCE_ms = 20_000

export async function look<Answer>(
  path: string,
  signal?: AbortSignal,
  patience_ms = PATIENCE_ms,
): Promise<Answer> {
  return request<Answer>('GET', path, undefined, signal, patience_ms)
}

export async function change<Answer>(
  method: 'POST' | 'PUT' | 'DELETE',
  path: string,
  body?: unknown,
  patience_ms = PATIENCE_ms,
): Promise<Answer> {
  return request<Answer>(method, path, body, undefined, patience_ms)
}

async function request<Answer>(
  method: string,
  path: string,
  body: unknown,
  signal?: AbortSignal,
  patience_ms = PATIENCE_ms,
): Promise<Answer> {
  const patience = AbortSignal.timeout(patience_ms)
  let response: Response
  try {
    response = await fetch(`.${path}`, {
      method,
      signal: signal === undefined ? patience : AbortSignal.any([signal, patience]),
      ...(body === undefined
        ? {}
        : { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } }),
    })
  } catch (error) {
    if (signal?.aborted === true) throw error
    throw new Trouble('The cellar does not answer: it is off, or out of reach from here.', 0, null)
  }
  const text = await response.text()
  const answer = readJson(text)
  if (response.ok) return answer as Answer
  const problem = answer as Problem | null
  throw new Trouble(
    problem?.message ?? `The cellar refused it (${response.status}).`,
    response.status,
    problem,
  )
}

function readJson(text: string): unknown {
  try {
    return JSON.parse(text) as unknown
  } catch {
    return null
  }
}

/** `?a=1&b=2` of what is there; nothing for what is undefined. */
export function query(members: Readonly<Record<string, string | number | boolean | undefined>>): string {
  const given = Object.entries(members).filter(([, value]) => value !== undefined)
  return given.length === 0
    ? ''
    : `?${new URLSearchParams(given.map(([name, value]) => [name, String(value)])).toString()}`
}
