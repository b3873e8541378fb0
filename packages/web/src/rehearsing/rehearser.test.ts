import { drillsFor } from '@attemper/core/rehearsal/drills.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import { reduceRuns } from '@attemper/core/rehearsal/reduce.ts'
import { simulateRun } from '@attemper/core/rehearsal/run.ts'
import { runDrill } from '@attemper/core/rehearsal/run-drill.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import { describe, expect, test } from 'vitest'
import { Crew } from './crew.ts'
import { doJob } from './job.ts'
import { type Progress, Rehearser } from './rehearser.ts'
import { FakeHand } from './testing/fake-hand.ts'
import { mashSetup } from './testing/mash-setup.ts'
import type { JobMessage, JobReply, ReduceMessage, ReduceReply } from './worker-hand.ts'

function stage() {
  const workers = [0, 1].map(() => {
    let setup: Setup
    return new FakeHand<JobMessage, JobReply>(message => {
      setup = message.setup ?? setup
      return { ticket: message.ticket, answer: doJob(setup, message.job) }
    })
  })
  let setup: Setup
  let records: RunRecord[] = []
  const reducer = new FakeHand<ReduceMessage, ReduceReply>(message => {
    if (message.setup !== undefined) {
      setup = message.setup
      records = []
    }
    records.push(...message.records)
    return { ticket: message.ticket, result: reduceRuns(setup, records, []) }
  })
  const clock = { now_ms: 0 }
  const rehearser = new Rehearser(new Crew(workers), reducer, () => clock.now_ms)
  const shown: Progress[] = []
  const failures: string[] = []
  const audience = {
    show: (progress: Progress) => shown.push(progress),
    fail: (why: string) => failures.push(why),
  }
  /** Everybody works, the second worker before the first, until nothing is left to do. */
  const workOff = () => {
    while (![...workers, reducer].every(hand => hand.isIdle)) {
      for (const hand of [workers[1]!, workers[0]!, reducer]) hand.work()
    }
  }
  return { workers, reducer, rehearser, audience, shown, failures, clock, workOff }
}

describe('a rehearsal in workers', () => {
  test('ends in the same result as one that is done in one go, whatever came first', () => {
    const { rehearser, audience, shown, workOff } = stage()
    const setup = mashSetup(1)
    rehearser.rehearse(setup, 9, audience)
    workOff()
    const drills = drillsFor(setup).map(drill => runDrill(setup, drill))
    const records = Array.from({ length: 10 }, (_, run) => simulateRun(setup, run))
    expect(shown.at(-1)!.done).toBe(true)
    expect(shown.at(-1)!.result).toEqual(reduceRuns(setup, records, drills))
    expect(shown.filter(({ done }) => done)).toHaveLength(1)
  })

  test('first shows the nominal run and a few more, then steps of many', () => {
    const { rehearser, audience, shown, workOff } = stage()
    rehearser.rehearse(mashSetup(1), 20, audience)
    workOff()
    const counts = [...new Set(shown.map(({ records }) => records.length))]
    expect(counts[0]).toBeLessThanOrEqual(6)
    expect(counts.at(-1)).toBe(21)
    expect(counts.length).toBeLessThan(5)
    for (const { records } of shown) expect(records.some(({ run }) => run === 0)).toBe(true)
  })

  test('a slow plan is shown as soon as its nominal run is there', () => {
    const { rehearser, audience, shown, workers, reducer, clock } = stage()
    rehearser.rehearse(mashSetup(1), 20, audience)
    clock.now_ms = 90
    workers[1]!.work()
    reducer.work()
    expect(shown).toEqual([])
    workers[0]!.work()
    reducer.work()
    expect(shown.map(({ records }) => records.length)).toEqual([2])
  })

  test('the newest wins: of an older case nothing is shown, though it was under way', () => {
    const { rehearser, audience, shown, workers, reducer, workOff } = stage()
    const [older, newer] = [mashSetup(1), mashSetup(2)]
    rehearser.rehearse(older, 20, audience)
    for (let turn = 0; turn < 3; turn += 1) for (const hand of workers) hand.work()
    // The reducer has the older runs, and has not answered yet.
    expect(reducer.isIdle).toBe(false)
    rehearser.rehearse(newer, 8, audience)
    workOff()
    expect(shown.length).toBeGreaterThan(0)
    for (const { setup, result } of shown) {
      expect(setup).toBe(newer)
      expect(result.seed).toBe(2)
    }
    expect(shown.at(-1)!.result.runs).toBe(8)
  })

  test('a run is shown with its events while the rest goes on, and never for an older case', async () => {
    const { rehearser, audience, workers, workOff } = stage()
    rehearser.rehearse(mashSetup(1), 8, audience)
    const shown = rehearser.show({ kind: 'show run', run: 3 })
    workers[0]!.work()
    workers[0]!.work()
    const record = await shown
    expect(record?.run).toBe(3)
    expect(record?.events?.length).toBeGreaterThan(5)

    const overtaken = rehearser.show({ kind: 'show run', run: 4 })
    rehearser.stop()
    workOff()
    expect(await overtaken).toBe(null)
  })
})
