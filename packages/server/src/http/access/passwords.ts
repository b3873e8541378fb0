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
  const key = await derive(password, salt, LOG2_COST, BLOCK, LANES)
  return ['scrypt', LOG2_COST, BLOCK, LANES, salt.toString('base64url'), key.toString('base64url')].join('$')
}

export async function fitsPassword(password: string, hash: string): Promise<boolean> {
  const [kind, log2Cost, block, lanes, salt, key] = hash.split('$')
  if (kind !== 'scrypt' || salt === undefined || key === undefined) return false
  const wanted = Buffer.from(key, 'base64url')
  const found = await derive(
    password,
    Buffer.from(salt, 'base64url'),
    Number(log2Cost),
    Number(block),
    Number(lanes),
  )
  return found.length === wanted.length && timingSafeEqual(found, wanted)
}

/** Tries wait for each other, so that many at once can not use up the memory of a small board. */
let last: Promise<unknown> = Promise.resolve()

function derive(
  password: string,
  salt: Buffer,
  log2Cost: number,
  block: number,
  lanes: number,
): Promise<Buffer> {
  const cost = 2 ** log2Cost
  const options: ScryptOptions = { N: cost, r: block, p: lanes, maxmem: 2 * 128 * cost * block }
  const mine = last.then(
    () =>
      new Promise<Buffer>((resolve, reject) => {
        scrypt(password.normalize('NFKC'), salt, LENGTH_B, options, (error, key) =>
          error === null ? resolve(key) : reject(error),
        )
      }),
  )
  last = mine.catch(() => undefined)
  return mine
}
