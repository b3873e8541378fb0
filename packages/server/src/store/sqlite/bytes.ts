/**
 * Whole numbers as varints: seven bits in each byte, the lowest first, the top bit set on all but the last byte. Signed
 * ones in zigzag: 0, -1, 1, -2, 2 become 0, 1, 2, 3, 4. Floating-point numbers as 8 bytes, little-endian (IEEE 754).
 */
export class ByteWriter {
  #bytes = new Uint8Array(1024)
  #length = 0

  byte(value: number): void {
    this.#room(1)
    this.#bytes[this.#length++] = value
  }

  /** `value`: a whole number from 0 to 2^53. */
  varint(value: number): void {
    this.#room(8)
    let rest = value
    while (rest >= 0x8000_0000) {
      this.#bytes[this.#length++] = (rest % 128) | 0x80
      rest = Math.floor(rest / 128)
    }
    while (rest >= 0x80) {
      this.#bytes[this.#length++] = (rest & 0x7f) | 0x80
      rest >>>= 7
    }
    this.#bytes[this.#length++] = rest
  }

  /** `value`: a whole number from -2^52 to 2^52. */
  zigzag(value: number): void {
    this.varint(value >= 0 ? 2 * value : -2 * value - 1)
  }

  float64(value: number): void {
    this.#room(8)
    new DataView(this.#bytes.buffer).setFloat64(this.#length, value, true)
    this.#length += 8
  }

  bytes(values: Uint8Array): void {
    this.#room(values.length)
    this.#bytes.set(values, this.#length)
    this.#length += values.length
  }

  result(): Uint8Array {
    return this.#bytes.slice(0, this.#length)
  }

  #room(count: number): void {
    if (this.#length + count <= this.#bytes.length) return
    const larger = new Uint8Array(Math.max(2 * this.#bytes.length, this.#length + count))
    larger.set(this.#bytes.subarray(0, this.#length))
    this.#bytes = larger
  }
}

/** Throws a RangeError when the bytes end too early. */
export class ByteReader {
  readonly #bytes: Uint8Array
  #at = 0

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes
  }

  get atEnd(): boolean {
    return this.#at >= this.#bytes.length
  }

  byte(): number {
    const byte = this.#bytes[this.#at]
    if (byte === undefined) throw new RangeError(`The bytes end too early, after ${this.#at}.`)
    this.#at++
    return byte
  }

  varint(): number {
    let byte = this.byte()
    let value = byte & 0x7f
    for (let scale = 128; byte >= 0x80; scale *= 128) {
      byte = this.byte()
      value += (byte & 0x7f) * scale
    }
    return value
  }

  zigzag(): number {
    const value = this.varint()
    return value % 2 === 0 ? value / 2 : -(value + 1) / 2
  }

  float64(): number {
    const bytes = this.bytes(8)
    return new DataView(bytes.buffer, bytes.byteOffset).getFloat64(0, true)
  }

  bytes(count: number): Uint8Array {
    if (this.#at + count > this.#bytes.length) {
      throw new RangeError(`The bytes end too early: ${count} are missing after ${this.#at}.`)
    }
    this.#at += count
    return this.#bytes.subarray(this.#at - count, this.#at)
  }
}
