import type { Refusal, Report } from './report.ts'

/** A message that came to a door, and what was made of it. */
export interface HeardMessage {
  /** Counts from 1 at each start of the cellar. */
  readonly number: number
  readonly at_ms: number
  readonly door: 'http' | 'mqtt'
  /** Topic, or path with its query. */
  readonly where: string
  /** Who sent it, as far as that is known: a client of the broker, a device or a person. */
  readonly by: string | null
  /** The content type, where there is one. */
  readonly kind: string | null
  /** Of the whole. */
  readonly bytes: number
  /** Its beginning: as text, or in hexadecimal digits when it is no text. null: it was refused before it was read. */
  readonly text: string | null
  readonly isText: boolean
  /** The first of them, and how many there are. */
  readonly readings: readonly Report[]
  readonly readingCount: number
  readonly refused: readonly HeardRefusal[]
  readonly refusedCount: number
}

export type Heard = Pick<HeardMessage, 'door' | 'where' | 'by' | 'kind'> & {
  readonly body: Uint8Array | null
  readonly readings: readonly Report[]
  readonly refused: readonly HeardRefusal[]
}

/** A part that was refused, or the whole: then with a code of the door itself. */
export type HeardRefusal = Omit<Refusal, 'code'> & { readonly code: string }

const MOST = 200
const LONGEST_B = 2000
const MOST_PARTS = 20
const LONGEST_WHERE = 300

interface Kept extends Omit<HeardMessage, 'text' | 'isText'> {
  readonly beginning: Uint8Array | null
}

/**
 * The last messages at the doors, those that were refused or were for nobody too: so that somebody who joins an instrument
 * to a vessel sees what it says. In memory only, and bounded: a flood pushes out what came before it. Secrets are blotted out.
 */
export class HeardMessages {
  readonly #clock: { now_ms(): number }
  #kept: Kept[] = []
  #number = 0

  constructor(clock: { now_ms(): number }) {
    this.#clock = clock
  }

  hear({ door, where, by, kind, body, readings, refused }: Heard): void {
    this.#number += 1
    this.#kept.push({
      number: this.#number,
      at_ms: this.#clock.now_ms(),
      door,
      where: where.slice(0, LONGEST_WHERE),
      by: by?.slice(0, 100) ?? null,
      kind: kind?.slice(0, 100) ?? null,
      bytes: body?.length ?? 0,
      // A copy: the rest of a large message is not to be held on to.
      beginning: body === null ? null : new Uint8Array(body.subarray(0, LONGEST_B)),
      readings: readings.slice(0, MOST_PARTS),
      readingCount: readings.length,
      refused: refused.slice(0, MOST_PARTS),
      refusedCount: refused.length,
    })
    if (this.#kept.length > 2 * MOST) this.#kept = this.#kept.slice(-MOST)
  }

  /** Earliest first. A number that has not been given yet is from before a restart: then all of them. */
  after(number: number): readonly HeardMessage[] {
    const last = this.#kept.slice(-MOST)
    const asked = number > this.#number ? last : last.filter(one => one.number > number)
    return asked.map(({ beginning, ...rest }) => ({
      ...rest,
      where: blotSecrets(rest.where),
      refused: rest.refused.map(one => ({ ...one, message: blotSecrets(one.message) })),
      ...textOf(beginning, rest.bytes),
    }))
  }
}

function textOf(beginning: Uint8Array | null, bytes: number): Pick<HeardMessage, 'text' | 'isText'> {
  if (beginning === null) return { text: null, isText: true }
  const isWhole = beginning.length === bytes
  try {
    // The last letter may have been cut in two.
    const text = new TextDecoder('utf-8', { fatal: true }).decode(beginning, { stream: !isWhole })
    // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what a text has not.
    if (!/[\u0000-\u0008\u000e-\u001f]/.test(text)) return { text: blotSecrets(text), isText: true }
  } catch {
    // Then it is no text.
  }
  return { text: Buffer.from(beginning.subarray(0, LONGEST_B / 4)).toString('hex'), isText: false }
}

const BLOT = '•••'

/** Tokens of this cellar, and what stands under a name that says that it is secret, in JSON and in addresses. */
function blotSecrets(text: string): string {
  return text
    .replaceAll(/\bat_[A-Za-z0-9_-]{20,}/g, `at_${BLOT}`)
    .replaceAll(
      /("[^"]{0,40}(?:pass(?:word|wd|phrase)?|pwd|psk|secret|token|api[_ -]?key|authorization)"\s*:\s*)(?:"(?:[^"\\]|\\.)*"?|[^\s,}\]]+)/gi,
      `$1"${BLOT}"`,
    )
    .replaceAll(
      /\b((?:pass(?:word|wd)?|pwd|psk|secret|token|api[_-]?key|authorization)=)[^&\s]*/gi,
      `$1${BLOT}`,
    )
}
