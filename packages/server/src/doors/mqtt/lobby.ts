import type { Socket } from 'node:net'

export interface LobbyLimits {
  /** Of one address. */
  readonly perAddress: number
  readonly overall: number
}

const USUAL: LobbyLimits = { perAddress: 20, overall: 200 }

/**
 * Sockets that have been opened and have not said who they are. They cost nothing to open and may stay silent, so there are
 * only so many: a newcomer puts out the one of its own address that has waited longest, and with all places taken the one that
 * has waited longest of all. A client that says who it is at once is never in anybody's way, nor anybody in its.
 */
export class Lobby {
  readonly #limits: LobbyLimits
  /** By both ends of the connection, in the order of their arrival. */
  readonly #waiting = new Map<string, { readonly socket: Socket; readonly address: string }>()

  constructor(limits: LobbyLimits = USUAL) {
    this.#limits = limits
  }

  get size(): number {
    return this.#waiting.size
  }

  enter(socket: Socket): void {
    const address = socket.remoteAddress ?? ''
    const own = [...this.#waiting].filter(([, one]) => one.address === address)
    const longest =
      own.length >= this.#limits.perAddress
        ? own[0]
        : this.#waiting.size >= this.#limits.overall
          ? this.#waiting.entries().next().value
          : undefined
    if (longest !== undefined) {
      this.#waiting.delete(longest[0])
      longest[1].socket.destroy()
    }
    const key = keyOf(socket)
    this.#waiting.set(key, { socket, address })
    socket.once('close', () => this.#waiting.delete(key))
  }

  /** It has said who it is, and was let in. An encrypted socket is another object than the plain one that it stands on. */
  leave(socket: Socket): void {
    this.#waiting.delete(keyOf(socket))
  }
}

function keyOf({ remoteAddress, remotePort }: Socket): string {
  return `${remoteAddress} ${remotePort}`
}
