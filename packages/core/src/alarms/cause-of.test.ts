import { expect, test } from 'vitest'
import type { AlarmCode } from './catalogue.ts'
import { causeOf } from './cause-of.ts'

const alarm = (code: AlarmCode, subject = '', since_s = 0) => ({ code, subject, since_s })

test('one dead relay is one cause, however many alarms it raises', () => {
  const relay = alarm('appliance-unreachable', 'heater')
  const effect = alarm('no-response', 'heater', 60)
  const question = alarm('question-open', '3', 90)
  const all = [question, effect, relay]
  expect(causeOf(question, all)).toBe(relay)
  expect(causeOf(effect, all)).toBe(relay)
  expect(causeOf(relay, all)).toBeNull()
})

test('another appliance explains nothing, and without its cause each stands for itself', () => {
  const effect = alarm('no-response', 'cooler', 60)
  expect(causeOf(effect, [effect, alarm('appliance-unreachable', 'heater')])).toBeNull()
  expect(causeOf(effect, [effect])).toBeNull()
})

test('a probe that is lost and the temperature that nobody knows are one', () => {
  const unknown = alarm('beer-temperature-unknown')
  const lost = alarm('instrument-lost', 'Probe', 5)
  expect(causeOf(lost, [lost, unknown])).toBe(unknown)
})
