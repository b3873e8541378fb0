import type { Finding } from '@attemper/core/finding.ts'
import { sessionAt } from './cellar/sessions.ts'
import type { CommandOption, Given } from './command.ts'
import { RefusedError, UsageError } from './exit-status.ts'
import type { Io } from './io.ts'
import { readEventStream, type ServerEvent } from './server-events.ts'
import { readSettings } from './settings-file.ts'

/** Where a cellar is found that was started without further wishes. */
export const USUAL_PORT = 1050
export const USUAL_CELLAR = `http://127.0.0.1:${USUAL_PORT}`

export const CELLAR_OPTION: CommandOption = {
  name: 'cellar',
  value: 'URL',
  about: `where the cellar answers (usually ${USUAL_CELLAR}, or what ATTEMPER_CELLAR or the settings file say)`,
}

/** The shortest way to say why, for a cellar that is there but answers nothing. */
const LONGEST_WAIT_MS = 60_000

/** Speaks HTTP with a running cellar. Every method throws UsageError when none answers, CellarRefused when it says no. */
export interface CellarClient {
  readonly url: string
  get<T>(path: string): Promise<T>
  post<T>(path: string, body?: unknown): Promise<T>
  put<T>(path: string, body: unknown): Promise<T>
  delete(path: string): Promise<void>
  /** The cookie of a new session. */
  signIn(name: string, password: string): Promise<string>
  /** The bytes behind an address, however long they take, and how many they will be (null: not told). */
  bytes(
    path: string,
  ): Promise<{ readonly stream: ReadableStream<Uint8Array>; readonly length: number | null }>
  /** What the cellar tells by itself, until `signal` ends it. */
  events(path: string, signal: AbortSignal): AsyncGenerator<ServerEvent>
}

/** The cellar said no. */
export class CellarRefused extends RefusedError {
  readonly code: string
  readonly findings: readonly Finding[]

  constructor(code: string, message: string, findings: readonly Finding[]) {
    super(message)
    this.code = code
    this.findings = findings
  }
}

/** The client for the cellar that the command line, the environment or the settings file name. */
export function cellarFor(given: Given, io: Io): CellarClient {
  const settings = readSettings(io)
  const url = urlOf(
    String(given.text('cellar') || io.env.ATTEMPER_CELLAR || settings?.cellar || USUAL_CELLAR),
  )
  const token = io.env.ATTEMPER_TOKEN || settings?.token
  if (token !== undefined) return connect(url, { authorization: `Bearer ${String(token)}` })
  const session = sessionAt(io, url)
  return connect(url, session === null ? {} : { cookie: session })
}

function urlOf(text: string): string {
  const withScheme = /^[a-z]+:\/\//i.test(text) ? text : `http://${text}`
  const url = URL.canParse(withScheme) ? new URL(withScheme) : null
  if (url === null || (url.protocol !== 'http:' && url.protocol !== 'https:')) {
    throw new UsageError(`--cellar should be an address such as ${USUAL_CELLAR}, but is "${text}".`)
  }
  return url.href.replace(/\/+$/, '')
}

/** `proof`: headers that show who asks. */
export function connect(url: string, proof: Readonly<Record<string, string>> = {}): CellarClient {
  const headers = (body: unknown): Record<string, string> => ({
    // Proves that no web page is behind a change.
    'x-attemper': '1',
    ...proof,
    ...(body === undefined ? {} : { 'content-type': 'application/json' }),
  })
  const ask = async (method: string, path: string, body?: unknown, signal?: AbortSignal) => {
    let response: Response
    try {
      response = await fetch(`${url}${path}`, {
        method,
        headers: headers(body),
        body: body === undefined ? null : JSON.stringify(body),
        signal: signal ?? AbortSignal.timeout(LONGEST_WAIT_MS),
      })
    } catch (error) {
      if (signal?.aborted) throw error
      throw new UsageError(whyNoAnswer(url, error))
    }
    if (!response.ok) throw await refusalOf(response, url)
    return response
  }
  const value = async <T>(response: Response): Promise<T> => {
    const text = await response.text()
    return (text === '' ? undefined : JSON.parse(text)) as T
  }
  return {
    url,
    get: async path => value(await ask('GET', path)),
    post: async (path, body) => value(await ask('POST', path, body)),
    put: async (path, body) => value(await ask('PUT', path, body)),
    delete: async path => void (await ask('DELETE', path)),
    signIn: async (name, password) => {
      const response = await ask('POST', '/session', { name, password })
      const [cookie = ''] = response.headers.getSetCookie()
      return cookie.split(';', 1)[0]!
    },
    bytes: async path => {
      const response = await ask('GET', path, undefined, new AbortController().signal)
      const length = response.headers.get('content-length')
      return { stream: response.body!, length: length === null ? null : Number(length) }
    },
    async *events(path, signal) {
      const response = await ask('GET', path, undefined, signal)
      yield* readEventStream(response.body!)
    },
  }
}

function whyNoAnswer(url: string, error: unknown): string {
  const code = causeOf(error)
  if (code === 'ECONNREFUSED') {
    return `No cellar answers at ${url}. Start one with "attemper serve", or say with --cellar where it is.`
  }
  if (error instanceof Error && error.name === 'TimeoutError') {
    return `The cellar at ${url} has not answered for ${LONGEST_WAIT_MS / 1000} s.`
  }
  return `The cellar at ${url} can not be reached (${code}). Is the address right?`
}

function causeOf(error: unknown): string {
  const cause =
    error instanceof Error ? (error.cause as { code?: unknown; errors?: unknown } | undefined) : undefined
  const [first] = Array.isArray(cause?.errors) ? (cause.errors as { code?: unknown }[]) : []
  const code = cause?.code ?? first?.code
  return typeof code === 'string' ? code : error instanceof Error ? error.message : String(error)
}

/** A refusal as the cellar words it; anything else comes from something that is no cellar. */
async function refusalOf(response: Response, url: string): Promise<Error> {
  const problem = (await response.json().catch(() => null)) as {
    code?: unknown
    message?: unknown
    cure?: unknown
    findings?: readonly Finding[]
  } | null
  if (typeof problem?.code !== 'string' || typeof problem.message !== 'string') {
    return new UsageError(`What answers at ${url} is no cellar (status ${response.status}).`)
  }
  const cure = problem.code === 'sign-in' ? HOW_TO_SIGN_IN : problem.cure
  const sentences = typeof cure === 'string' ? `${problem.message} ${cure}` : problem.message
  return new CellarRefused(problem.code, sentences, problem.findings ?? [])
}

const HOW_TO_SIGN_IN =
  'This cellar wants to know who asks: "attemper sign-in" asks for your password. (A program sets ATTEMPER_TOKEN.)'
