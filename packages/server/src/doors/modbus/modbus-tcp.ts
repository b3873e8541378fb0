import { connect } from 'node:net'
import { Turns } from '../turns.ts'

/** A device on the network; `unit` tells those apart that are behind one gateway (0 to 255). */
export interface ModbusAddress {
  readonly host: string
  readonly port: number
  readonly unit: number
}

const ANSWERS_WITHIN_MS = 3000

/** Function codes of the Modbus Application Protocol, version 1.1b3, sections 6.3 to 6.6 and 6.12. */
const READ = { holding: 3, input: 4 } as const
const WRITE_COIL = 5
const WRITE_REGISTER = 6
const WRITE_REGISTERS = 16

/** Section 7 of the same: what a device answers that can not do as told. */
const EXCEPTIONS: Readonly<Record<number, string>> = {
  1: 'it does not know this function',
  2: 'it has no such address',
  3: 'it does not take this value',
  4: 'it has failed',
  5: 'it has not done it yet',
  6: 'it is busy',
  8: 'its memory is faulty',
  10: 'the gateway has no path to it',
  11: 'it does not answer the gateway',
}

/** Many a device takes one connection at a time, whoever asks: by host and port. */
const turns = new Turns()

/** Registers of 16 bits each, as unsigned numbers. `at` counts from 0, as in the protocol. Rejects with the reason. */
export async function readRegisters(
  address: ModbusAddress,
  kind: 'input' | 'holding',
  at: number,
  count: number,
  within_ms: number = ANSWERS_WITHIN_MS,
): Promise<readonly number[]> {
  const request = Buffer.alloc(5)
  request.writeUInt8(READ[kind])
  request.writeUInt16BE(at, 1)
  request.writeUInt16BE(count, 3)
  const answer = await ask(address, request, within_ms)
  if (answer.length !== 2 + 2 * count || answer[1] !== 2 * count) {
    throw new Error('its answer has not the length of what was asked for')
  }
  return Array.from({ length: count }, (_, index) => answer.readUInt16BE(2 + 2 * index))
}

/** Switches a coil. Rejects with the reason unless the device has confirmed it. */
export async function writeCoil(
  address: ModbusAddress,
  at: number,
  on: boolean,
  within_ms: number = ANSWERS_WITHIN_MS,
): Promise<void> {
  const request = Buffer.alloc(5)
  request.writeUInt8(WRITE_COIL)
  request.writeUInt16BE(at, 1)
  request.writeUInt16BE(on ? 0xff00 : 0, 3)
  const answer = await ask(address, request, within_ms)
  if (!answer.equals(request)) throw new Error('it confirms something else than it was told')
}

/** Writes 16-bit words into holding registers, in one go. Rejects with the reason unless the device has confirmed it. */
export async function writeRegisters(
  address: ModbusAddress,
  at: number,
  words: readonly number[],
  within_ms: number = ANSWERS_WITHIN_MS,
): Promise<void> {
  // The function for a single one is known to more devices than that for several.
  const isSingle = words.length === 1
  const head = Buffer.alloc(isSingle ? 3 : 6)
  head.writeUInt8(isSingle ? WRITE_REGISTER : WRITE_REGISTERS)
  head.writeUInt16BE(at, 1)
  if (!isSingle) {
    head.writeUInt16BE(words.length, 3)
    head.writeUInt8(2 * words.length, 5)
  }
  const values = Buffer.alloc(2 * words.length)
  for (const [index, word] of words.entries()) values.writeUInt16BE(word, 2 * index)
  const request = Buffer.concat([head, values])
  const answer = await ask(address, request, within_ms)
  const expected = isSingle ? request : request.subarray(0, 5)
  if (!answer.equals(expected)) throw new Error('it confirms something else than it was told')
}

/** One request and its answer, without the header, on a connection of its own. */
function ask(address: ModbusAddress, request: Buffer, within_ms: number): Promise<Buffer> {
  return turns.take(`${address.host}:${address.port}`, () => exchange(address, request, within_ms))
}

let lastTransaction = 0

function exchange({ host, port, unit }: ModbusAddress, request: Buffer, within_ms: number): Promise<Buffer> {
  lastTransaction = (lastTransaction + 1) % 0x1_0000
  const transaction = lastTransaction
  const header = Buffer.alloc(HEADER_BYTES)
  header.writeUInt16BE(transaction)
  header.writeUInt16BE(request.length + 1, 4)
  header.writeUInt8(unit, 6)
  return new Promise((resolve, reject) => {
    const socket = connect({ host, port, noDelay: true })
    const end = (settle: () => void) => {
      clearTimeout(timer)
      socket.destroy()
      settle()
    }
    const fail = (reason: string) => end(() => reject(new Error(reason)))
    // Not the socket's own timeout, which begins anew with each byte.
    const timer = setTimeout(() => fail(`no answer within ${within_ms / 1000} s`), within_ms)
    let heard: Buffer = Buffer.alloc(0)
    socket.on('connect', () => socket.write(Buffer.concat([header, request])))
    socket.on('error', error => fail(error.message))
    socket.on('close', () => fail('it has closed the connection'))
    socket.on('data', (chunk: Buffer) => {
      heard = Buffer.concat([heard, chunk])
      const read = readAnswer(heard, transaction, unit, request[0]!)
      if (read === null) return
      if ('fault' in read) fail(read.fault)
      else end(() => resolve(read.answer))
    })
  })
}

/** Transaction, protocol, length and unit: section 3.1.3 of Modbus Messaging on TCP/IP, version 1.0b. */
const HEADER_BYTES = 7
/** A length counts the unit too; no answer is longer than 253 bytes. */
const LONGEST = 254

/** null: more has to come. */
function readAnswer(
  heard: Buffer,
  transaction: number,
  unit: number,
  asked: number,
): { readonly answer: Buffer } | { readonly fault: string } | null {
  if (heard.length < HEADER_BYTES) return null
  const length = heard.readUInt16BE(4)
  if (heard.readUInt16BE(2) !== 0 || length < 3 || length > LONGEST)
    return { fault: 'it speaks no Modbus TCP' }
  if (heard.readUInt16BE(0) !== transaction || heard[6] !== unit) {
    return { fault: 'it answers somebody else' }
  }
  if (heard.length < HEADER_BYTES + length - 1) return null
  const answer = heard.subarray(HEADER_BYTES, HEADER_BYTES + length - 1)
  const [code, exception] = answer
  if (code === asked) return { answer }
  if (code !== asked + 0x80) return { fault: 'it answers another question' }
  return { fault: EXCEPTIONS[exception!] ?? `it answers with exception ${exception}` }
}
