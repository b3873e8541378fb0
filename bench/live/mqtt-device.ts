import { connect, type Socket } from 'node:net'

const CONNECT = 0x10
const CONNACK = 0x20
const PUBLISH_QOS_1 = 0x32
const PUBACK = 0x40
const LARGEST_ID = 0xffff
/** CONNACK and PUBACK alike (MQTT 3.1.1 sections 3.2 and 3.4). */
const ANSWER_BYTES = 4

/** A device that publishes at QoS 1. Bare frames of MQTT 3.1.1, so that sending costs little of the machine. */
export class MqttDevice {
  readonly #socket: Socket
  readonly #waiting = new Map<number, (problem?: Error) => void>()
  readonly #connected = Promise.withResolvers<void>()
  #id = 0
  #heard: Buffer = Buffer.alloc(0)
  #frames: Buffer[] = []

  constructor(url: string, name: string) {
    const { hostname, port } = new URL(url)
    this.#socket = connect(Number(port), hostname, () => this.#socket.write(connectFrame(name)))
    this.#socket.setNoDelay(true)
    this.#socket.on('data', (bytes: Buffer) => this.#hear(bytes))
    const fail = (problem: Error) => {
      this.#connected.reject(problem)
      for (const answered of this.#waiting.values()) answered(problem)
      this.#waiting.clear()
    }
    this.#socket.on('error', fail)
    this.#socket.on('close', () => fail(new Error('the broker hung up')))
  }

  get connected(): Promise<void> {
    return this.#connected.promise
  }

  /** `answered` is called at the acknowledgement. Messages published in one turn leave together. */
  publish(topic: string, payload: string, answered: (problem?: Error) => void): void {
    this.#id = (this.#id % LARGEST_ID) + 1
    this.#waiting.set(this.#id, answered)
    if (this.#frames.length === 0) queueMicrotask(() => this.#flush())
    this.#frames.push(publishFrame(topic, this.#id, payload))
  }

  close(): void {
    this.#socket.destroy()
  }

  #flush(): void {
    this.#socket.write(this.#frames.length === 1 ? this.#frames[0]! : Buffer.concat(this.#frames))
    this.#frames = []
  }

  #hear(bytes: Buffer): void {
    this.#heard = this.#heard.length === 0 ? bytes : Buffer.concat([this.#heard, bytes])
    let at = 0
    for (; at + ANSWER_BYTES <= this.#heard.length; at += ANSWER_BYTES) {
      const kind = this.#heard[at]
      const id = this.#heard.readUInt16BE(at + 2)
      if (kind === CONNACK && id === 0) this.#connected.resolve()
      else if (kind === PUBACK) {
        const answered = this.#waiting.get(id)
        this.#waiting.delete(id)
        answered?.()
      } else this.#socket.destroy(new Error(`unexpected answer of the broker: ${kind}`))
    }
    this.#heard = this.#heard.subarray(at)
  }
}

function connectFrame(name: string): Buffer {
  const body = Buffer.concat([text('MQTT'), Buffer.from([4, 0x02, 0, 0]), text(name)])
  return frame(CONNECT, body)
}

function publishFrame(topic: string, id: number, payload: string): Buffer {
  const topic_B = Buffer.byteLength(topic)
  const body = Buffer.allocUnsafe(4 + topic_B + Buffer.byteLength(payload))
  body.writeUInt16BE(topic_B, 0)
  body.write(topic, 2)
  body.writeUInt16BE(id, 2 + topic_B)
  body.write(payload, 4 + topic_B)
  return frame(PUBLISH_QOS_1, body)
}

function frame(kind: number, body: Buffer): Buffer {
  const head = [kind]
  let rest = body.length
  do {
    head.push(rest > 127 ? (rest & 127) | 128 : rest)
    rest >>>= 7
  } while (rest > 0)
  return Buffer.concat([Buffer.from(head), body])
}

function text(written: string): Buffer {
  const length = Buffer.alloc(2)
  length.writeUInt16BE(Buffer.byteLength(written))
  return Buffer.concat([length, Buffer.from(written)])
}
