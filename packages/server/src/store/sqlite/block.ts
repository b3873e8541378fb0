import { crc32, zstdCompressSync, zstdDecompressSync } from 'node:zlib'
import { ByteReader, ByteWriter } from './bytes.ts'
import { decimalPlaces, NO_GRID, toGrid } from './decimal-grid.ts'

/** Readings of one stream side by side, in the order of time. */
export interface Columns {
  /** Whole milliseconds since 1970-01-01T00:00 UTC, growing. */
  readonly at_ms: Float64Array
  readonly values: Float64Array
  /** 0 good, 1 uncertain, 2 bad. */
  readonly statuses: Uint8Array
}

export const HOUR_MS = 3_600_000

const LAYOUT = 1
const PLAIN = 0
const ZSTD = 1
/** Layout, packing, CRC-32 of what follows. */
const HEADER_BYTES = 6
/** A reading in each millisecond of an hour takes less. */
const LARGEST_BODY_BYTES = 16 * HOUR_MS

/** All readings of one stream in one hour as bytes, without loss. The layout is drawn in docs/formats/database.md. */
export function encodeBlock(hour: number, columns: Columns): Uint8Array {
  const body = encodeBody(hour * HOUR_MS, columns)
  const packed = zstdCompressSync(body)
  const isSmaller = packed.length < body.length
  const stored = isSmaller ? packed : body
  const block = new Uint8Array(HEADER_BYTES + stored.length)
  block[0] = LAYOUT
  block[1] = isSmaller ? ZSTD : PLAIN
  new DataView(block.buffer).setUint32(2, crc32(stored), true)
  block.set(stored, HEADER_BYTES)
  return block
}

/** Throws an Error that says what is wrong when the bytes are not a block. */
export function decodeBlock(hour: number, block: Uint8Array): Columns {
  if (block.length < HEADER_BYTES) throw new RangeError(`A block has at least ${HEADER_BYTES} bytes.`)
  if (block[0] !== LAYOUT) throw new RangeError(`Its layout is ${block[0]}; ${LAYOUT} is known.`)
  const stored = block.subarray(HEADER_BYTES)
  const expected = new DataView(block.buffer, block.byteOffset).getUint32(2, true)
  if (crc32(stored) !== expected) throw new RangeError('Its check sum does not match.')
  const columns = decodeBody(hour * HOUR_MS, unpack(block[1], stored))
  const first = columns.at_ms[0] ?? Number.NaN
  const last = columns.at_ms.at(-1) ?? Number.NaN
  if (!(first >= hour * HOUR_MS && last < (hour + 1) * HOUR_MS)) {
    throw new RangeError('Its readings are not of its hour.')
  }
  return columns
}

function unpack(packing: number | undefined, stored: Uint8Array): Uint8Array {
  if (packing === PLAIN) return stored
  if (packing === ZSTD) return zstdDecompressSync(stored, { maxOutputLength: LARGEST_BODY_BYTES })
  throw new RangeError(`Its packing is ${packing}; ${PLAIN} and ${ZSTD} are known.`)
}

function encodeBody(start_ms: number, { at_ms, values, statuses }: Columns): Uint8Array {
  const writer = new ByteWriter()
  const places = decimalPlaces(values)
  writer.varint(at_ms.length)
  writer.byte(places)
  writeTimes(writer, start_ms, at_ms)
  if (places === NO_GRID) writer.bytes(bytePlanes(values))
  else writeSteps(writer, values, places)
  writeStatuses(writer, statuses)
  return writer.result()
}

function decodeBody(start_ms: number, body: Uint8Array): Columns {
  const reader = new ByteReader(body)
  const count = reader.varint()
  if (count > HOUR_MS) throw new RangeError(`It claims ${count} readings; an hour has ${HOUR_MS} ms.`)
  const places = reader.byte()
  const at_ms = readTimes(reader, start_ms, count)
  const values =
    places === NO_GRID ? fromBytePlanes(reader.bytes(8 * count)) : readSteps(reader, count, places)
  const statuses = readStatuses(reader, count)
  if (!reader.atEnd) throw new RangeError('There are bytes after its end.')
  return { at_ms, values, statuses }
}

/** Differences of differences: an instrument that reports regularly gives zeros. */
function writeTimes(writer: ByteWriter, start_ms: number, at_ms: Float64Array): void {
  let previous = start_ms
  let step = 0
  for (const at of at_ms) {
    writer.zigzag(at - previous - step)
    step = at - previous
    previous = at
  }
}

function readTimes(reader: ByteReader, start_ms: number, count: number): Float64Array {
  const at_ms = new Float64Array(count)
  let previous = start_ms
  let step = 0
  for (let i = 0; i < count; i++) {
    step += reader.zigzag()
    if (step <= 0 && i > 0) throw new RangeError('Its times do not grow.')
    previous += step
    at_ms[i] = previous
  }
  return at_ms
}

function writeSteps(writer: ByteWriter, values: Float64Array, places: number): void {
  let previous = 0
  for (const value of values) {
    const steps = toGrid(value, places)
    writer.zigzag(steps - previous)
    previous = steps
  }
}

function readSteps(reader: ByteReader, count: number, places: number): Float64Array {
  const values = new Float64Array(count)
  const power = 10 ** places
  let steps = 0
  for (let i = 0; i < count; i++) {
    steps += reader.zigzag()
    values[i] = steps / power
  }
  return values
}

/** The first bytes of all values, then the second bytes, ...: like stands beside like, so that they pack well. */
function bytePlanes(values: Float64Array): Uint8Array {
  const planes = new Uint8Array(8 * values.length)
  const view = new DataView(new ArrayBuffer(8))
  values.forEach((value, i) => {
    view.setFloat64(0, value, true)
    for (let plane = 0; plane < 8; plane++) planes[plane * values.length + i] = view.getUint8(plane)
  })
  return planes
}

function fromBytePlanes(planes: Uint8Array): Float64Array {
  const values = new Float64Array(planes.length / 8)
  const view = new DataView(new ArrayBuffer(8))
  for (let i = 0; i < values.length; i++) {
    for (let plane = 0; plane < 8; plane++) view.setUint8(plane, planes[plane * values.length + i] ?? 0)
    values[i] = view.getFloat64(0, true)
  }
  return values
}

/** As runs: a status and how many readings have it. */
function writeStatuses(writer: ByteWriter, statuses: Uint8Array): void {
  let from = 0
  for (let i = 1; i <= statuses.length; i++) {
    if (i < statuses.length && statuses[i] === statuses[from]) continue
    writer.byte(statuses[from] ?? 0)
    writer.varint(i - from)
    from = i
  }
}

function readStatuses(reader: ByteReader, count: number): Uint8Array {
  const statuses = new Uint8Array(count)
  for (let from = 0; from < count; ) {
    const status = reader.byte()
    const run = reader.varint()
    if (status > 2 || run < 1 || from + run > count) throw new RangeError('Its statuses are not right.')
    statuses.fill(status, from, from + run)
    from += run
  }
  return statuses
}
