import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import { EXIT } from '../exit-status.ts'

const CHILD = fileURLToPath(new URL('../testing/fault-child.ts', import.meta.url))

test.each(['thrown', 'rejected'])(
  'a fault that is %s closes the cellar, and the process ends with its status',
  how => {
    const { status, stdout, stderr } = spawnSync(process.execPath, [CHILD, how], { encoding: 'utf8' })
    expect(stdout).toBe('closed')
    expect(stderr).toMatch(/A fault of attemper itself, not yours: Error: nobody has foreseen this/)
    expect(status).toBe(EXIT.internal)
  },
)
