import { randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto'

/**
 * scrypt (RFC 7914) with 32 MiB for each try: a guesser needs that much memory for each guess at a time, a small board
 * has it to spare. The cost is written into each hash, so it can be raised later.
 */
const LOG2_COST = 15
const BLOCK = 8
const LANES = 1
const LENGTH_B = 32

export const SHORTEST_PASSWORD = 10
export const LONGEST_PASSWORD = 200

export async function hashPassword(password: string): Promise<string> {
  const salt = randomBytes(16)
  const key = await derive(password, salt, LOG2_COST, BLOCK, LANES, 'first')
  return ['scrypt', LOG2_COST, BLOCK, LANES, salt.toString('base64url'), key.toString('base64url')].join('$')
}

/** Throws a TooBusyError when too many wait already; never to whom it is urgent. */
export async function fitsPassword(
  password: string,
  hash: string,
  urgency: Urgency = 'first',
): Promise<boolean> {
  const [kind, log2Cost, block, lanes, salt, key] = hash.split('$')
  if (kind !== 'scrypt' || salt === undefined || key === undefined) return false
  const wanted = Buffer.from(key, 'base64url')
  const found = await derive(
    password,
    Buffer.from(salt, 'base64url'),
    Number(log2Cost),
    Number(block),
    Number(lanes),
    urgency,
  )
  return found.length === wanted.length && timingSafeEqual(found, wanted)
}

/** Who does not have to wait behind strangers: somebody at a familiar address, or who changes a password. */
export type Urgency = 'first' | 'in turn'

/** So many strangers' passwords may wait at most; on a small board each takes about half a second. */
const MOST_WAITING = 8

/** More passwords are being compared than can be: nothing was tried. */
export class TooBusyError extends Error {
  override readonly name = 'TooBusyError'
}

interface Waiting {
  readonly urgency: Urgency
  readonly begin: () => void
}

/**
 * One at a time, so that many at once can not use up the memory of a small board; who is urgent comes next, and strangers
 * are sent away when too many of them wait, so that guesses never hold up the owner for longer than one of them takes.
 */
let isBusy = false
let waiting: Waiting[] = []

async function inTurn<T>(urgency: Urgency, work: () => Promise<T>): Promise<T> {
  if (isBusy) {
    if (urgency === 'in turn' && waiting.length >= MOST_WAITING) throw new TooBusyError()
    await new Promise<void>(begin => waiting.push({ urgency, begin }))
  }
  isBusy = true
  try {
    return await work()
  } finally {
    const next = waiting.find(each => each.urgency === 'first') ?? waiting[0]
    waiting = waiting.filter(each => each !== next)
    if (next === undefined) isBusy = false
    else next.begin()
  }
}

function derive(
  password: string,
  salt: Buffer,
  log2Cost: number,
  block: number,
  lanes: number,
  urgency: Urgency,
): Promise<Buffer> {
  const cost = 2 ** log2Cost
  const options: ScryptOptions = { N: cost, r: block, p: lanes, maxmem: 2 * 128 * cost * block }
  return inTurn(
    urgency,
    () =>
      new Promise<Buffer>((resolve, reject) => {
        scrypt(password.normalize('NFKC'), salt, LENGTH_B, options, (error, key) =>
          error === null ? resolve(key) : reject(error),
        )
      }),
  )
}
