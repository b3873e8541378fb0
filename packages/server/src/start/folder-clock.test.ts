import { expect, test } from 'vitest'
import { PaperStore } from '../alarms/testing/paper-store.ts'
import type { Store } from '../store/store.ts'
import { ClockError, folderClock } from './folder-clock.ts'

/** The documents of a folder whose only other contents are so many batches. */
function folder(batches: number): Store {
  const paper = new PaperStore()
  return {
    getDocument: (name: string) => paper.getDocument(name),
    putDocument: (name: string, text: string) => paper.putDocument(name, text),
    batches: () => Array.from({ length: batches }),
  } as unknown as Store
}

test('a fast clock goes on over a restart as if it had never stopped, also with another speed', () => {
  const store = folder(0)
  const real_ms = Date.now() - 60_000
  folderClock(store, 600, real_ms)
  const second = folderClock(store, 600, real_ms + 10_000)
  expect(second.origin_ms).toBeGreaterThanOrEqual(real_ms + 60_000 * 600)
  const third = folderClock(store, 100, real_ms + 20_000)
  expect(third.origin_ms).toBeGreaterThanOrEqual(second.origin_ms)
  expect(third.speed).toBe(100)
})

test('real and fast time do not mix', () => {
  expect(() => folderClock(folder(1), 600, Date.now())).toThrow(ClockError)
  const fast = folder(0)
  folderClock(fast, 600, Date.now())
  expect(() => folderClock(fast, 1, Date.now())).toThrow(/--speed 600/)
})

test('real time needs no setting', () => {
  const store = folder(3)
  expect(folderClock(store, 1, 0).speed).toBe(1)
  expect(store.getDocument('clock')).toBeNull()
})
