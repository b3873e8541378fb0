/**
 * A cellar in a process of its own, which a test can kill. It loads everything, waits for its options, and says its
 * addresses and its clock as soon as it answers. It ends when the test ends.
 */
import { enableCompileCache } from 'node:module'
import type { CellarOptions } from '@attemper/server/main.ts'

// As the program does: loading is most of what a test of many lives would wait for.
enableCompileCache()
const { startCellar } = await import('@attemper/server/main.ts')

process.on('disconnect', () => process.exit())
/** How far the clock of this machine is set by the test. */
let set_ms = 0
const now = Date.now
Date.now = () => now() + set_ms
process.on('message', (message: { readonly setClock_ms?: number }) => {
  set_ms += message.setClock_ms ?? 0
})

process.once('message', async (options: Omit<CellarOptions, 'log'>) => {
  const log = (line: string) => void (process.env.ATTEMPER_DEBUG === '1' && console.error(line))
  const { url, mqttUrl, clock } = await startCellar({ ...options, log })
  const { origin_ms, realOrigin_ms, speed } = clock
  process.send?.({ url, mqttUrl, clock: { origin_ms, realOrigin_ms, speed } })
})
process.send?.('loaded')
