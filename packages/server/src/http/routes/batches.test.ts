import { describe, expect, test } from 'vitest'
import { BUCKET, PROGRAM, startBatch, startTestServer, VESSEL } from '../testing/test-server.ts'

const START = { vessel: VESSEL, plan: 'plan', beer: 'beer' }

describe('starting', () => {
  test('answers with the batch, which is then to be seen', async () => {
    const { app } = await startTestServer()
    const started = await app.inject({ method: 'POST', url: '/batches', headers: PROGRAM, payload: START })
    expect(started.statusCode).toBe(201)
    expect(started.json()).toEqual({ batch: 'b1', findings: [] })
    const listed = await app.inject('/batches')
    expect(listed.json()).toMatchObject([{ id: 'b1', vessel: VESSEL, vesselText: BUCKET, ended_ms: null }])
    const view = await app.inject('/batches/b1')
    expect(view.json()).toMatchObject({
      sentence: 'Amber ale is in primary.',
      gravity: null,
      cooler: null,
      questions: [{ id: 1 }],
    })
  })

  test('errors of the plan stop it, with the findings; a reason overrules them', async () => {
    const { app } = await startTestServer()
    const payload = { ...START, plan: 'a wrong plan' }
    const refused = await app.inject({ method: 'POST', url: '/batches', headers: PROGRAM, payload })
    expect(refused.statusCode).toBe(422)
    expect(refused.json()).toMatchObject({
      code: 'has-errors',
      findings: [{ severity: 'error', line: 3, code: 'unreachable-stage' }],
    })
    const overruled = await app.inject({
      method: 'POST',
      url: '/batches',
      headers: PROGRAM,
      payload: { ...payload, overrule: 'It is meant for later.' },
    })
    expect(overruled.statusCode).toBe(201)
  })

  test('an unknown vessel is 404, a busy one 409', async () => {
    const server = await startTestServer()
    const post = (payload: object) =>
      server.app.inject({ method: 'POST', url: '/batches', headers: PROGRAM, payload })
    expect(await post({ ...START, vessel: 'Cask' }).then(answer => answer.statusCode)).toBe(404)
    startBatch(server)
    const busy = await post(START)
    expect(busy.statusCode).toBe(409)
    expect(busy.json()).toMatchObject({
      code: 'vessel-busy',
      message: expect.stringContaining('stop it first'),
    })
  })
})

describe('actions', () => {
  test('each reaches the cellar in the name of whoever asks, and is recorded', async () => {
    const server = await startTestServer()
    const { app, cellar, store } = server
    const id = startBatch(server)
    const requests = [
      ['POST', 'hold'],
      ['POST', 'resume'],
      ['POST', 'go-to', { stage: 'crash' }],
      ['POST', 'answer', { question: 1, answer: 'not yet' }],
      ['PUT', 'plan', { plan: 'another plan' }],
      ['POST', 'note', { text: 'Smells of apples.' }],
      ['POST', 'stop'],
    ] as const
    for (const [method, action, payload] of requests) {
      const answer = await app.inject({
        method,
        url: `/batches/${id}/${action}`,
        headers: PROGRAM,
        ...(payload === undefined ? {} : { payload }),
      })
      expect([action, answer.statusCode]).toEqual([action, 200])
    }
    expect(cellar.log(id, 1, 100)).toMatchObject([
      { kind: 'edit', edit: { kind: 'hold' }, by: 'brewer' },
      { kind: 'edit', edit: { kind: 'resume' } },
      { kind: 'edit', edit: { kind: 'go to', stage: 'crash' } },
      { kind: 'answer', question: 1, answer: 'not yet', by: 'brewer' },
      { kind: 'plan changed', planText: 'another plan' },
      { kind: 'note', text: 'Smells of apples.' },
      { kind: 'edit', edit: { kind: 'stop' } },
    ])
    expect(store.changes.map(({ who, what }) => `${who} ${what}`)).toEqual([
      'brewer held the batch b1',
      'brewer took up the batch b1',
      'brewer moved the batch b1 to crash',
      'brewer answered a question of the batch b1',
      'brewer changed the plan of the batch b1',
      'brewer added a note to the batch b1',
      'brewer stopped the batch b1',
    ])
  })

  test.each([
    ['/batches/b9/hold', undefined, 404, 'unknown-batch'],
    ['/batches/b1/go-to', { stage: 'nowhere' }, 404, 'unknown-stage'],
    ['/batches/b1/answer', { question: 7, answer: 'yes' }, 404, 'unknown-question'],
  ])('%s %j is refused with %i %s, and nothing is recorded', async (url, payload, status, code) => {
    const server = await startTestServer()
    startBatch(server)
    const answer = await server.app.inject({
      method: 'POST',
      url,
      headers: PROGRAM,
      ...(payload === undefined ? {} : { payload }),
    })
    expect(answer.statusCode).toBe(status)
    expect(answer.json()).toMatchObject({ code })
    expect(server.store.changes).toEqual([])
  })

  test('what has ended can not be held', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    server.cellar.abort(id, 'test')
    const answer = await server.app.inject({ method: 'POST', url: `/batches/${id}/hold`, headers: PROGRAM })
    expect(answer.statusCode).toBe(409)
    expect(answer.json()).toMatchObject({ code: 'not-running' })
  })

  test('a change that can not be recorded is not confirmed', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    server.store.full = true
    const answer = await server.app.inject({ method: 'POST', url: `/batches/${id}/hold`, headers: PROGRAM })
    expect(answer.statusCode).toBe(503)
    expect(answer.json()).toMatchObject({ code: 'storage', cure: 'Make room on the disk.' })
  })
})

describe('looking', () => {
  test('the log goes on after an entry', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    for (const text of ['one', 'two', 'three']) server.cellar.note(id, text, 'test')
    const answer = await server.app.inject(`/batches/${id}/log?after=2&limit=1`)
    expect(answer.json()).toMatchObject([{ number: 3, kind: 'note', text: 'two', by: 'test' }])
  })

  test('why, now and at a moment, also with an offset whose plus sign became a space', async () => {
    const server = await startTestServer()
    const id = startBatch(server)
    const now = await server.app.inject(`/batches/${id}/why?appliance=heater`)
    expect(now.json()).toEqual({
      appliance: 'heater',
      at_ms: server.clock.now_ms(),
      sentence: 'The heater is off: the beer is warm enough.',
    })
    const then = await server.app.inject(`/batches/${id}/why?appliance=cooler&at=2026-11-24T21:15+01:00`)
    expect(then.json()).toMatchObject({ at_ms: Date.UTC(2026, 10, 24, 20, 15) })
    const wrong = await server.app.inject(`/batches/${id}/why?appliance=heater&at=yesterday`)
    expect(wrong.statusCode).toBe(422)
    expect(wrong.json()).toMatchObject({ code: 'wrong-value', message: expect.stringContaining('/at') })
  })
})
