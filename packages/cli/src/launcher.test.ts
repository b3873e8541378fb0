import { spawn } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'

const LAUNCHER = fileURLToPath(new URL('../bin/attemper.js', import.meta.url))
/** A Node of the system, older than the program needs: the launcher then hands over to the one that was installed. */
const SYSTEM_NODE = '/usr/bin/node'

// The incident: CI ended the launcher, and the cellar that it had started lived on, with nobody to end it.
it.runIf(existsSync(SYSTEM_NODE))(
  'ends the cellar that it handed over to, when it is ended itself',
  async () => {
    const folder = mkdtempSync(join(tmpdir(), 'attemper-launcher-'))
    const words = ['serve', '--data', folder, '--port', '0', '--mqtt-port', '0']
    const launcher = spawn(SYSTEM_NODE, [LAUNCHER, ...words], { stdio: ['ignore', 'pipe', 'pipe'] })
    let said = ''
    const status = await new Promise<number | null>((resolve, reject) => {
      let isAsked = false
      launcher.stdout.on('data', (text: Buffer) => {
        said += text.toString()
        // Once: what is said comes in pieces, and a second signal means "at once", which ends with another status.
        if (isAsked || !said.includes('Open')) return
        isAsked = true
        launcher.kill('SIGTERM')
      })
      launcher.stderr.resume()
      launcher.on('error', reject)
      launcher.on('close', resolve)
    })
    const url = /http:\/\/[0-9.:]+/.exec(said)?.[0]
    await expect(fetch(`${url}/health`)).rejects.toThrow()
    expect(status).toBe(0)
    rmSync(folder, { recursive: true, force: true })
  },
)
