import fc from 'fast-check'
import { expect, test } from 'vitest'
import { judge } from '../../../../../test/judge-all.ts'
import { FrameWatch } from './frame-watch.ts'

/** A packet with so many bytes behind its header; the remaining length is written as MQTT 3.1.1 section 2.2.3 says. */
function packet(length: number): readonly number[] {
  const header = [0x30]
  let rest = length
  do {
    const digit = rest % 128
    rest = Math.floor(rest / 128)
    header.push(rest > 0 ? digit | 0x80 : digit)
  } while (rest > 0)
  return [...header, ...new Array<number>(length).fill(0xff)]
}

test('the lengths of the standard', () => {
  // Table 2.4 of MQTT 3.1.1: the largest length in one, two and three bytes.
  for (const [length, digits] of [
    [127, [0x7f]],
    [16_383, [0xff, 0x7f]],
    [2_097_151, [0xff, 0xff, 0x7f]],
  ] as const) {
    expect(new FrameWatch(length).feed(Uint8Array.from([0x30, ...digits]))).toBeNull()
    expect(new FrameWatch(length - 1).feed(Uint8Array.from([0x30, ...digits]))).not.toBeNull()
  }
})

test('finds the one that is too large, however the stream is cut', ({ task }) => {
  const lengths = fc.array(fc.integer({ min: 0, max: 300 }), { maxLength: 8 })
  judge(task, {}, [lengths, fc.integer({ min: 1, max: 50 })], (before, cut) => {
    const watch = new FrameWatch(300)
    const bytes = Uint8Array.from([...before, 301].flatMap(packet))
    const answers: (number | null)[] = []
    for (let at = 0; at < bytes.length; at += cut) answers.push(watch.feed(bytes.subarray(at, at + cut)))
    const header = Math.floor((before.flatMap(packet).length + 2) / cut)
    expect(answers.slice(0, header)).toEqual(new Array(header).fill(null))
    expect(answers[header]).toBeGreaterThan(300)
  })
})
