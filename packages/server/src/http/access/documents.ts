import type { Store } from '../../store/store.ts'

/**
 * A list kept as one named document of the store. It is asked for with each request, so it is parsed only when its text
 * has changed; another process may have changed it.
 */
export interface ListDocument<T> {
  read(): readonly T[]
  write(list: readonly T[]): void
}

export function listDocument<T>(store: Store, name: string): ListDocument<T> {
  let text: string | null = null
  let list: readonly T[] = []
  return {
    read() {
      const now = store.getDocument(name)
      if (now !== text) {
        list = now === null ? [] : (JSON.parse(now) as readonly T[])
        text = now
      }
      return list
    },
    write(next) {
      store.putDocument(name, JSON.stringify(next))
    },
  }
}
