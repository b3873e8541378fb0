import type { BatchView } from '@attemper/server/live/cellar.ts'
import { expect, test } from 'vitest'
import type { ServerEvent } from '../server-events.ts'
import { keepUp, type Unknown } from './keep-up.ts'

const event = (name: string, data: unknown): ServerEvent => ({
  event: name,
  id: null,
  data: JSON.stringify(data),
})

/** A batch that is looked at, and how it was drawn: as it stands, or unknown since a moment. */
function watching() {
  const batch = {
    view: { now_ms: 1000, batch: { id: 'b1' } } as BatchView,
    isOver: false,
    refreshed: 0,
    refresh: async () => {
      batch.refreshed += 1
    },
  }
  const drawn: (Unknown | undefined)[] = []
  return { batch, drawn, draw: (unknown?: Unknown) => void drawn.push(unknown) }
}

// A cellar whose machine was cut off kept “all is well” on the terminal for as long as the line was not closed.
test('a line that is open but silent makes unknown what is shown, since the last sign of life', async () => {
  const { batch, drawn, draw } = watching()
  const client = {
    async *events(_path: string, signal: AbortSignal) {
      yield event('hello', {})
      yield event('beat', { now_ms: 4000 })
      await new Promise((_resolve, reject) =>
        signal.addEventListener('abort', () => reject(signal.reason), { once: true }),
      )
    },
  }
  const done = keepUp(client, [batch], draw, 50)
  await expect
    .poll(() => drawn.at(-1))
    .toEqual({ since_ms: 4000, why: 'The cellar has said nothing for 0.05 s.' })
  batch.isOver = true
  await done
})

test('a sign of life is nothing to draw, and keeps the line from being silent', async () => {
  const { batch, drawn, draw } = watching()
  const client = {
    async *events() {
      yield event('hello', {})
      for (let beat = 1; beat <= 10; beat += 1) {
        yield event('beat', { now_ms: beat })
        await new Promise(resolve => setTimeout(resolve, 30))
      }
      batch.isOver = true
      yield event('batch', { batch: 'b1' })
      await new Promise(resolve => setTimeout(resolve, 300))
    },
  }
  await keepUp(client, [batch], draw, 200)
  expect(drawn.filter(each => each !== undefined)).toEqual([])
  expect(batch.refreshed).toBeLessThanOrEqual(2)
})
