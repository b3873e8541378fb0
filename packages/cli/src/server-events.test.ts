import { expect, test } from 'vitest'
import { readEventStream, type ServerEvent } from './server-events.ts'

function bodyOf(parts: readonly string[]): ReadableStream<Uint8Array> {
  return ReadableStream.from(parts.map(part => new TextEncoder().encode(part))) as ReadableStream<Uint8Array>
}

async function all(parts: readonly string[]): Promise<ServerEvent[]> {
  const events: ServerEvent[] = []
  for await (const event of readEventStream(bodyOf(parts))) events.push(event)
  return events
}

// The first two are examples of the WHATWG HTML standard, section 9.2.6.
test('several data lines make one event, and a comment none', async () => {
  expect(
    await all([
      ': test stream\n\ndata: first event\nid: 1\n\ndata:second event\nid\n\ndata:  third event\n\n',
    ]),
  ).toEqual([
    { event: 'message', id: '1', data: 'first event' },
    { event: 'message', id: '', data: 'second event' },
    { event: 'message', id: '', data: ' third event' },
  ])
  expect(await all(['data: YHOO\ndata: +2\ndata: 10\n\n'])).toEqual([
    { event: 'message', id: null, data: 'YHOO\n+2\n10' },
  ])
})

test('an event may come in any pieces, with any ends of lines, and counts only when it is whole', async () => {
  const text = 'event: add\r\ndata: 73857293 °C\r\n\r\nevent: remove\rdata: 2153\r\rdata: cut off'
  const wanted = [
    { event: 'add', id: null, data: '73857293 °C' },
    { event: 'remove', id: null, data: '2153' },
  ]
  expect(await all([text])).toEqual(wanted)
  expect(await all([...text])).toEqual(wanted)
})
