import { expect, test } from 'vitest'
import { PROGRAM, startTestServer } from '../testing/test-server.ts'

test('settings of telling are proof-read, and nothing is changed', async () => {
  const { app, notifier } = await startTestServer()
  const check = async (text: string) =>
    (
      await app.inject({
        method: 'POST',
        url: '/notify/settings/check',
        headers: PROGRAM,
        payload: { text },
      })
    ).json()
  expect(await check('channels:\n  - { channel: bell, mqtt: { topic: bell } }')).toEqual({ findings: [] })
  expect(await check('channels: []\ntell:\n  - { who: Kim, by: bell }')).toMatchObject({
    findings: [{ severity: 'error', line: 3 }],
  })
  expect(notifier.settingsText()).toBe('')
  const schema = (await app.inject('/notify/schema')).json<{ properties: object }>()
  expect(Object.keys(schema.properties)).toEqual(['link', 'channels', 'tell'])
})
