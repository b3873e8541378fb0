import { connect } from 'node:net'
import { expect, test } from 'vitest'
import { ChangeFeed } from './change-feed.ts'
import { startBatch, startTestServer, VESSEL } from './testing/test-server.ts'

const pause = () => new Promise(resolve => setImmediate(resolve))

test('what lies too far back is not known any more, what lies within is', async () => {
  const server = await startTestServer()
  const batch = startBatch(server)
  const feed = new ChangeFeed(server.cellar, 0)
  const beginning = feed.now()
  expect(feed.since(beginning)).toEqual([])
  let later = ''
  for (let n = 0; n < 2500; n += 1) {
    server.cellar.note(batch, 'x', 'test')
    await pause()
    if (n === 2000) later = feed.now()
  }
  expect(feed.since(beginning)).toBe(null)
  expect(feed.since(later)).toMatchObject([{ batch, id: feed.now() }])
  expect(feed.since(`${feed.now()}0`)).toBe(null)
  feed.close()
})

test('the first change is told at once, what follows soon after it is gathered', async () => {
  const server = await startTestServer()
  const batch = startBatch(server)
  const feed = new ChangeFeed(server.cellar, 20)
  const stages: string[] = []
  const told = new Promise<void>(resolve => {
    feed.listen(({ view }) => {
      stages.push(view?.stage ?? '')
      if (view?.stage === 'crash') resolve()
    })
  })
  server.cellar.note(batch, 'x', 'test')
  await pause()
  expect(stages).toEqual(['primary'])
  for (let n = 0; n < 10; n += 1) {
    server.cellar.note(batch, 'x', 'test')
    await pause()
  }
  server.cellar.goTo(batch, 'crash', 'test')
  await told
  expect(stages.length).toBeLessThan(5)
  feed.close()
})

test('a listener who does not read is let go, before it fills the memory', async () => {
  const server = await startTestServer()
  const { app, cellar } = server
  const large = 'x'.repeat(4_000_000)
  const { batch } = cellar.startBatch({ vessel: VESSEL, planText: large, beerText: 'beer' }, 'test')
  await app.listen({ host: '127.0.0.1', port: 0 })
  const { port } = app.server.address() as { port: number }
  const gone = new Promise<void>(resolve => {
    app.server.once('connection', socket => {
      const more = setInterval(() => cellar.note(batch ?? '', 'on', 'test'), 10)
      socket.once('close', () => {
        clearInterval(more)
        resolve()
      })
    })
  })
  const idle = connect(port, '127.0.0.1', () =>
    idle.write(`GET /events HTTP/1.1\r\nHost: localhost:${port}\r\n\r\n`),
  )
  idle.pause()
  idle.on('error', () => undefined)
  await gone
  idle.destroy()
})
