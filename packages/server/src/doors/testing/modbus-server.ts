import { once } from 'node:events'
import { createServer, type Socket } from 'node:net'

/** A small device, after the Modbus Application Protocol 1.1b3 and Modbus Messaging on TCP/IP 1.0b. */
export interface ModbusServer {
  readonly port: number
  readonly input: Map<number, number>
  readonly holding: Map<number, number>
  readonly coils: Map<number, boolean>
  /** What came in, without the header, in hexadecimal digits. */
  readonly heard: string[]
  /** Takes the place of the answer to the next request: bytes of the whole message, or null for none. */
  readonly instead: ((request: Buffer) => Buffer | null)[]
  close(): Promise<void>
}

export async function modbusServer(port = 0): Promise<ModbusServer> {
  const sockets = new Set<Socket>()
  const input = new Map<number, number>()
  const holding = new Map<number, number>()
  const coils = new Map<number, boolean>()
  const heard: string[] = []
  const instead: ((request: Buffer) => Buffer | null)[] = []

  const answer = (pdu: Buffer): Buffer => {
    const [code, at, value] = [pdu[0]!, pdu.readUInt16BE(1), pdu.readUInt16BE(3)]
    if (code === 3 || code === 4) {
      const registers = code === 3 ? holding : input
      const words = Array.from({ length: value }, (_, index) => registers.get(at + index))
      if (words.includes(undefined)) return Buffer.from([code | 0x80, 2])
      return Buffer.from([code, 2 * value, ...words.flatMap(word => [word! >> 8, word! & 0xff])])
    }
    if (code === 6 || code === 16) {
      const count = code === 6 ? 1 : value
      for (let index = 0; index < count; index++) {
        if (!holding.has(at + index)) return Buffer.from([code | 0x80, 2])
        holding.set(at + index, pdu.readUInt16BE(code === 6 ? 3 : 6 + 2 * index))
      }
      return code === 6 ? pdu : pdu.subarray(0, 5)
    }
    if (code !== 5) return Buffer.from([code | 0x80, 1])
    if (!coils.has(at)) return Buffer.from([code | 0x80, 2])
    if (value !== 0 && value !== 0xff00) return Buffer.from([code | 0x80, 3])
    coils.set(at, value === 0xff00)
    return pdu
  }
  const server = createServer(socket => {
    sockets.add(socket)
    socket.on('close', () => sockets.delete(socket))
    socket.on('error', () => socket.destroy())
    socket.on('data', (request: Buffer) => {
      const pdu = request.subarray(7)
      heard.push(pdu.toString('hex'))
      const other = instead.shift()
      if (other !== undefined) {
        const bytes = other(request)
        if (bytes !== null) socket.write(bytes)
        return
      }
      const said = answer(pdu)
      const header = Buffer.from(request.subarray(0, 7))
      header.writeUInt16BE(said.length + 1, 4)
      // In two parts, as a network may do.
      socket.write(Buffer.concat([header, said.subarray(0, 1)]), () => socket.write(said.subarray(1)))
    })
  }).listen(port, '127.0.0.1')
  await once(server, 'listening')
  return {
    port: (server.address() as { port: number }).port,
    input,
    holding,
    coils,
    heard,
    instead,
    async close() {
      for (const socket of sockets) socket.destroy()
      if (!server.listening) return
      server.close()
      await once(server, 'close')
    },
  }
}
