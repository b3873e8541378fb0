/** A real cellar as a process of its own: `node bench/live/cellar-child.ts FOLDER`. Told what to do by messages. */
import { startCellar } from '@attemper/server/main.ts'

export interface CellarAddresses {
  readonly url: string
  readonly mqttUrl: string
}

export type CellarQuestion = 'processor time' | 'close'

if (process.argv[1] === import.meta.filename) {
  const { url, mqttUrl, close } = await startCellar({
    dataDir: process.argv[2]!,
    host: '127.0.0.1',
    port: 0,
    mqttPort: 0,
    log: line => process.stderr.write(`${line}\n`),
  })
  process.on('message', async (question: CellarQuestion) => {
    if (question === 'processor time') {
      const { user, system } = process.cpuUsage()
      process.send!((user + system) / 1e6)
    } else {
      await close()
      process.disconnect!()
    }
  })
  // Whoever asked has gone: then nobody else would end it.
  process.on('disconnect', () => process.exit())
  process.send!({ url, mqttUrl } satisfies CellarAddresses)
}
