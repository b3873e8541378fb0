import { expect, test } from 'vitest'
import { pushObstacle, usualDeviceName } from './push-here.ts'

const ABLE = { isSecure: true, hasWorker: true, hasPush: true, permission: 'default' } as const

test('what keeps a browser from being told is said with what would be needed', () => {
  expect(pushObstacle(ABLE)).toBeNull()
  expect(pushObstacle({ ...ABLE, permission: 'granted' })).toBeNull()
  expect(pushObstacle({ ...ABLE, isSecure: false })?.cure).toContain('--tls-cert')
  expect(pushObstacle({ ...ABLE, hasPush: false })?.what).toContain('no web push')
  expect(pushObstacle({ ...ABLE, permission: null })?.what).toContain('no web push')
  expect(pushObstacle({ ...ABLE, permission: 'denied' })?.cure).toContain('settings for this page')
  // Plain http is the reason why nothing else is there.
  const plain = { isSecure: false, hasWorker: false, hasPush: false, permission: null }
  expect(pushObstacle(plain)?.what).toContain('https')
})

test('a device is called by what it is', () => {
  expect([usualDeviceName(false, true), usualDeviceName(true, true), usualDeviceName(true, false)]).toEqual([
    'Computer',
    'Telephone',
    'Tablet',
  ])
})
