import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import type { Figure } from '../figure.ts'
import { inFolder, readingsIn } from './bench-cellar.ts'
import { requireAll } from './load.ts'
import type { DayOfMonth } from './month-child.ts'

const CHILD = fileURLToPath(new URL('./month-child.ts', import.meta.url))
const LONGEST_MS = 300_000

/**
 * Whether a cellar grows while a batch runs. A month passes on a clock that is moved by hand, minute by minute: the probe
 * reads each minute and the float each quarter of an hour; each reading is stored, told to the engine and looked at by
 * the alarms, and past hours are packed.
 */
export function monthMemory(): Promise<readonly Figure[]> {
  return inFolder(async folder => {
    const child = spawnSync(process.execPath, ['--expose-gc', CHILD, folder], {
      encoding: 'utf8',
      timeout: LONGEST_MS,
    })
    if (child.status !== 0) throw new Error(child.stderr || 'the month took too long')
    const days = JSON.parse(child.stdout) as readonly DayOfMonth[]
    const first = days[0]!
    const last = days.at(-1)!
    requireAll(last.readings, readingsIn(folder))
    const middle = days[Math.floor(days.length / 2)]!
    return [
      {
        name: `memory after day ${last.day} against that after the first day`,
        value: last.memory_MB / first.memory_MB,
        unit: 'times',
        goal: { first: 1.1, aim: 1.03, better: 'less' },
        note:
          `whole process ${first.memory_MB.toFixed(1)}, day ${middle.day} ${middle.memory_MB.toFixed(1)}, ` +
          `day ${last.day} ${last.memory_MB.toFixed(1)} MB; of it kept by V8 ${first.heap_MB.toFixed(2)}, ` +
          `${middle.heap_MB.toFixed(2)}, ${last.heap_MB.toFixed(2)} MB; ${last.readings} readings`,
      },
    ]
  })
}
