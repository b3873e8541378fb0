import { ChannelProblem } from './channel.ts'

interface Known {
  readonly pattern: RegExp
  readonly said: string
  readonly cure: string
}

const KNOWN: readonly Known[] = [
  {
    // The fetch standard keeps these ports from being asked by HTTP.
    pattern: /bad port/,
    said: 'has a port that belongs to another service',
    cure: 'Let the receiver listen on another port, such as 8080.',
  },
  {
    pattern: /ECONNREFUSED/,
    said: 'refuses the connection',
    cure: 'Check host and port, and whether it runs.',
  },
  { pattern: /ENOTFOUND|EAI_AGAIN|EDNS/, said: 'is not found', cure: 'Check its name, and the network.' },
  {
    pattern: /certificate|CERT|ERR_TLS|ETLS|SSL|wrong version number|STARTTLS/i,
    said: 'offers no encryption that can be trusted',
    cure: 'Check its name and port, its certificate, and whether tls or starttls is right.',
  },
  {
    pattern: /ETIMEDOUT|TimeoutError|timed? ?out|UND_ERR_(?:CONNECT|HEADERS|BODY)_TIMEOUT/i,
    said: 'does not answer in time',
    cure: 'Check host and port, and the network.',
  },
  { pattern: /EHOSTUNREACH|ENETUNREACH|ENETDOWN/, said: 'can not be reached', cure: 'Check the network.' },
  {
    pattern: /ECONNRESET|EPIPE|UND_ERR_SOCKET|ECONNECTION|closed/i,
    said: 'breaks the connection off',
    cure: 'Check the port, and what the other side writes in its log.',
  },
]

/** A fault of the network in the words of a brewer; `where` is the subject of the sentence. */
export function networkProblem(where: string, error: unknown): ChannelProblem {
  const words = wordsOf(error)
  const known = KNOWN.find(({ pattern }) => pattern.test(words))
  return known === undefined
    ? new ChannelProblem(
        `${where} did not take it (${words.slice(0, 200)})`,
        'Check the settings of the channel.',
      )
    : new ChannelProblem(`${where} ${known.said}`, known.cure)
}

/** Codes and messages of an error and of what caused it. */
function wordsOf(error: unknown): string {
  const words: string[] = []
  for (let at = error, depth = 0; at instanceof Error && depth < 4; at = at.cause, depth++) {
    words.push(String((at as { code?: unknown }).code ?? at.name), at.message)
    if (at instanceof AggregateError) words.push(...at.errors.map(String))
  }
  return words.length === 0 ? String(error) : words.join(' ')
}
