/** A port that can not be listened on; `message` says why, and what would be right. */
export class PortError extends Error {
  override readonly name = 'PortError'
}

interface Wish {
  readonly door: string
  readonly port: number
  /** The option of the command line that would choose another. */
  readonly option: string
}

/** What could be listened on, or why it could not. */
export async function orPortError<T>(listening: Promise<T>, { door, port, option }: Wish): Promise<T> {
  try {
    return await listening
  } catch (error) {
    switch ((error as NodeJS.ErrnoException).code) {
      case 'EADDRINUSE':
        throw new PortError(
          `Port ${port}, for ${door}, is taken by another program, perhaps another cellar. Stop that, or choose another port with ${option}.`,
        )
      case 'EACCES':
        throw new PortError(
          `Port ${port}, for ${door}, may not be used by you: choose one above 1023 with ${option}.`,
        )
      case 'EADDRNOTAVAIL':
      case 'ENOTFOUND':
      case 'EAI_AGAIN':
        throw new PortError('--host names no address of this machine.')
      default:
        throw error
    }
  }
}
