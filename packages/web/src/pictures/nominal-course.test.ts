import { simulateRun } from '@attemper/core/rehearsal/run.ts'
import { expect, test } from 'vitest'
import { mashSetup } from '../rehearsing/testing/mash-setup.ts'
import { nominalCourse } from './nominal-course.ts'

test('the course of a run goes through each stage that it entered, and survives JSON', () => {
  const setup = mashSetup(1)
  const record = simulateRun(setup, 0)
  const course = nominalCourse(record, setup)
  expect(course.transitions.map(({ stage }) => stage)).toEqual(setup.plan.stages.map(({ name }) => name))
  expect(course.transitions[1]!.beer_C).toBeGreaterThan(50)
  expect(course.beer_C[0]).toBe(record.trace.beer_C[0])
  expect(course.gravity).toHaveLength(course.beer_C.length)
  expect(JSON.parse(JSON.stringify(course))).toEqual(course)
})
