import { describe, expect, test } from 'vitest'
import { Crew, usualCrewSize } from './crew.ts'
import type { Answer, Job } from './job.ts'
import { FakeHand } from './testing/fake-hand.ts'
import { mashSetup } from './testing/mash-setup.ts'
import type { JobMessage, JobReply } from './worker-hand.ts'

/** Says which run it was given instead of simulating it. */
function fakeHands(count: number): FakeHand<JobMessage, JobReply>[] {
  return Array.from(
    { length: count },
    () =>
      new FakeHand<JobMessage, JobReply>(({ ticket, job }) =>
        job.kind === 'run' && job.run === 13
          ? { ticket, failure: 'the thirteenth run fails' }
          : { ticket, answer: { kind: 'run', record: { run: 'run' in job ? job.run : -1 } } as Answer },
      ),
  )
}

const runs = (...numbers: number[]) => numbers.map((run): Job => ({ kind: 'run', run }))
const first = mashSetup(1)
const second = mashSetup(2)

function listener() {
  const heard: number[] = []
  const failures: string[] = []
  return {
    heard,
    failures,
    waiting: {
      take: (answer: Answer) => answer.kind === 'run' && heard.push(answer.record.run),
      fail: (why: string) => failures.push(why),
    },
  }
}

describe('the crew', () => {
  test('gives each worker one job at a time, and the setup once', () => {
    const hands = fakeHands(2)
    const crew = new Crew(hands)
    const { heard, waiting } = listener()
    crew.begin(first)
    crew.add(runs(0, 1, 2, 3), waiting)
    expect(hands.map(({ sent }) => sent.length)).toEqual([1, 1])
    hands[0]!.work()
    hands[0]!.work()
    hands[1]!.work()
    expect(hands[0]!.sent.map(({ setup }) => setup === first)).toEqual([true, false, false])
    expect(heard).toEqual([0, 2, 1])
  })

  test('after an edit nothing old is begun, and what was under way is not listened to', () => {
    const hands = fakeHands(2)
    const crew = new Crew(hands)
    const old = listener()
    crew.begin(first)
    crew.add(runs(0, 1, 2, 3, 4, 5), old.waiting)
    crew.stop()
    const young = listener()
    crew.begin(second)
    crew.add(runs(100, 101, 102), young.waiting)
    // Both are still in the middle of the old ones.
    expect(hands.map(({ sent }) => sent.length)).toEqual([1, 1])
    for (let turn = 0; turn < 4; turn += 1) for (const hand of hands) hand.work()
    expect(old.heard).toEqual([])
    expect(young.heard.toSorted()).toEqual([100, 101, 102])
    expect(hands.flatMap(({ sent }) => sent).filter(({ job }) => 'run' in job && job.run < 100)).toHaveLength(
      2,
    )
    for (const { sent } of hands) expect(sent[1]!.setup).toBe(second)
  })

  test('stopped, it stays idle until the next setup', () => {
    const [hand] = fakeHands(1)
    const crew = new Crew([hand!])
    const { heard, waiting } = listener()
    crew.begin(first)
    crew.add(runs(0, 1), waiting)
    crew.stop()
    hand!.work()
    crew.add(runs(2), waiting)
    expect(hand!.sent).toHaveLength(1)
    expect(heard).toEqual([])
  })

  test('somebody who waits for one job is served before the rest', () => {
    const [hand] = fakeHands(1)
    const crew = new Crew([hand!])
    const { heard, waiting } = listener()
    crew.begin(first)
    crew.add(runs(0, 1, 2), waiting)
    crew.add(runs(7), waiting, 'first')
    for (let turn = 0; turn < 4; turn += 1) hand!.work()
    expect(heard).toEqual([0, 7, 1, 2])
  })

  test('a run that fails is told of, and the others go on', () => {
    const [hand] = fakeHands(1)
    const crew = new Crew([hand!])
    const { heard, failures, waiting } = listener()
    crew.begin(first)
    crew.add(runs(13, 14), waiting)
    hand!.work()
    hand!.work()
    expect(failures).toEqual(['the thirteenth run fails'])
    expect(heard).toEqual([14])
  })

  test('leaves a core to the page, and has at least two workers and at most four', () => {
    expect([1, 2, 4, 5, 32].map(usualCrewSize)).toEqual([2, 2, 3, 4, 4])
  })
})
