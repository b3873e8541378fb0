/**
 * Counts along with a stream of MQTT control packets, and says when one announces more bytes than are taken. The parser
 * behind it would collect a quarter of a gigabyte for a single packet.
 *
 * A packet is one byte of type, its remaining length in one to four bytes of seven bits (MQTT 3.1.1 section 2.2.3), and
 * that many bytes.
 */
export class FrameWatch {
  readonly #most: number
  #skip = 0
  #at: 'type' | 'length' = 'type'
  #length = 0
  #shift = 0

  constructor(most_bytes: number) {
    this.#most = most_bytes
  }

  /** The announced length of the first packet that is too large; null: all are in order so far. */
  feed(chunk: Uint8Array): number | null {
    let at = 0
    while (at < chunk.length) {
      if (this.#skip > 0) {
        const step = Math.min(this.#skip, chunk.length - at)
        this.#skip -= step
        at += step
      } else if (this.#at === 'type') {
        this.#at = 'length'
        this.#length = 0
        this.#shift = 0
        at++
      } else {
        const byte = chunk[at++]!
        this.#length += (byte & 0x7f) * 2 ** this.#shift
        this.#shift += 7
        if (this.#length > this.#most) return this.#length
        // A fifth byte is a fault that the parser reports.
        if ((byte & 0x80) === 0 || this.#shift >= 28) {
          this.#at = 'type'
          this.#skip = this.#length
        }
      }
    }
    return null
  }
}
