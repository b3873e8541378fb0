import { expect, test } from 'vitest'
import { LeftDoors } from './left-doors.ts'
import { ManualTime } from './testing/manual-time.ts'

function stage() {
  const time = new ManualTime(0)
  const said: string[] = []
  const doors = new LeftDoors(time, time, trouble => said.push(trouble.kind))
  let tries = 0
  const door = {
    isDead: true,
    async close() {
      tries++
      if (door.isDead) throw new Error('no answer')
    },
  }
  const minute = async () => {
    time.moveTo(time.now_ms() + 60_000)
    await new Promise(resolve => setImmediate(resolve))
  }
  return { doors, door, said, minute, tries: () => tries }
}

test('what could not be switched off at the end is tried again until it has worked, and then its trouble ends', async () => {
  const { doors, door, said, minute, tries } = stage()
  await doors.close('Bucket', door)
  expect(said).toEqual(['doors not closed'])
  await minute()
  await minute()
  expect(tries()).toBe(3)
  expect(said).toEqual(['doors not closed'])
  door.isDead = false
  await minute()
  expect(said).toEqual(['doors not closed', 'doors closed'])
  await minute()
  expect(tries()).toBe(4)
})

test('the next batch in the vessel takes its appliances over', async () => {
  const { doors, door, said, minute, tries } = stage()
  await doors.close('Bucket', door)
  doors.takeOver('Bucket')
  expect(said).toEqual(['doors not closed', 'doors closed'])
  await minute()
  expect(tries()).toBe(1)
})

test('a door that closes says nothing', async () => {
  const { doors, door, said } = stage()
  door.isDead = false
  await doors.close('Bucket', door)
  doors.takeOver('Bucket')
  expect(said).toEqual([])
})
