import { initialState } from '@attemper/core/engine/initial.ts'
import { expect, test } from 'vitest'
import { Crew } from './crew.ts'
import { Forecaster, type ForecastProgress } from './forecaster.ts'
import { doJob, type ForecastOrder } from './job.ts'
import { FakeHand } from './testing/fake-hand.ts'
import { mashSetup } from './testing/mash-setup.ts'
import type { JobMessage, JobReply } from './worker-hand.ts'

const setup = mashSetup(1)

/** A mash that stands still: it has been held since the beginning, so a run of it takes no time. */
function orderAt(now_s: number): ForecastOrder {
  const state = { ...initialState(setup.program), startedAt_s: setup.start_s, batch: 'aborted' } as const
  return { before: setup, after: setup, present: { now_s, state, gravity: null, beer_C: 60 }, seed: 1 }
}

function hands() {
  return [1, 2].map(() => {
    let given = setup
    return new FakeHand<JobMessage, JobReply>(message => {
      given = message.setup ?? given
      return { ticket: message.ticket, answer: doJob(given, message.job) }
    })
  })
}

function work(all: readonly FakeHand<JobMessage, JobReply>[]): void {
  while (all.some(({ isIdle }) => !isIdle)) for (const hand of all) hand.work()
}

test('a first picture, then one of all runs; the plan as one line comes with them', () => {
  const all = hands()
  const shown: ForecastProgress[] = []
  new Forecaster(new Crew(all)).forecast(orderAt(setup.start_s + 600), 24, {
    show: progress => shown.push(progress),
    fail: why => expect.fail(why),
  })
  work(all)
  const pictures = shown.filter(({ result }, n) => result.runs !== shown[n - 1]?.result.runs)
  expect(pictures.map(({ result, done }) => [result.runs, done])).toEqual([
    [20, false],
    [24, true],
  ])
  expect(shown.at(-1)!.plan!.trace.beer_C.length).toBeGreaterThan(10)
  expect(shown.at(-1)!.result.now_s).toBe(setup.start_s + 600)
})

test('of an earlier one nothing is heard any more', () => {
  const all = hands()
  const heard: number[] = []
  const forecaster = new Forecaster(new Crew(all))
  const listen = (name: number) => ({
    show: () => heard.push(name),
    fail: (why: string) => expect.fail(why),
  })
  forecaster.forecast(orderAt(setup.start_s + 600), 20, listen(1))
  for (const hand of all) hand.work()
  forecaster.forecast(orderAt(setup.start_s + 1200), 9, listen(2))
  work(all)
  expect(new Set(heard)).toEqual(new Set([2]))
})
