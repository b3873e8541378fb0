/**
 * A demonstration as a process beside a cellar: `node demo-process.ts FOLDER`. It keeps its records in that folder, says
 * its address to whoever started it, and removes the folder when it ends, which it does with that process.
 */
import { rmSync } from 'node:fs'
import { startCellar } from '../main.ts'
import { DEMO_SPEED } from './demo-speed.ts'

const [, , dataDir = ''] = process.argv

const starting = startCellar({
  dataDir,
  host: '127.0.0.1',
  port: 0,
  mqttPort: 0,
  speed: DEMO_SPEED,
  demo: true,
  log: () => undefined,
})

let isEnding = false
async function end() {
  if (isEnding) return
  isEnding = true
  await (await starting).close()
  rmSync(dataDir, { recursive: true, force: true })
  process.exit()
}

process.on('disconnect', () => void end())
for (const signal of ['SIGTERM', 'SIGINT']) process.on(signal, () => void end())

const { url } = await starting
process.send?.(url)
