#!/usr/bin/env node
// The program is TypeScript that Node runs as it is, which needs Node 24. Where an older Node started this file, the one
// that was installed beside the program takes over.
import { spawn, spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { homedir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const LEAST_NODE = 24
const here = dirname(fileURLToPath(import.meta.url))

if (Number(process.versions.node.split('.')[0]) >= LEAST_NODE) {
  // What was compiled is kept for the next start, which then takes half the time: seconds on a small board. It is code that
  // will run, so it lies where only this person may write, not in a folder for everybody's temporary files.
  const { enableCompileCache } = await import('node:module')
  enableCompileCache(join(process.env.XDG_CACHE_HOME || join(homedir(), '.cache'), 'attemper'))
  const { run } = await import('../src/main.ts')
  process.exitCode = await run(process.argv.slice(2))
} else {
  const node = pinnedNode(here)
  if (node === null) {
    process.stderr.write(
      `attemper needs Node ${LEAST_NODE} or newer, this is ${process.versions.node}, and none is installed beside it: ` +
        'run "npm install" in its folder, or start it with a newer Node.\n',
    )
    process.exitCode = 2
  } else {
    await handOver(node)
  }
}

/**
 * Lets the right Node do the work, and stands in for it: what is asked of this process is asked of that one, so that ending
 * this one can not leave a cellar running that nobody knows of. Killed, it can pass nothing on: that one is told that it was
 * launched, and watches over this one (src/starters.ts). A terminal sends its Ctrl-C to both by itself, and a supervisor
 * signals both: hearing the same twice changes nothing (src/asked-to-end.ts).
 *
 * @param {string} node
 */
async function handOver(node) {
  const child = spawn(node, [fileURLToPath(import.meta.url), ...process.argv.slice(2)], {
    stdio: 'inherit',
    env: { ...process.env, ATTEMPER_LAUNCHED: '1' },
  })
  for (const signal of /** @type {const} */ (['SIGINT', 'SIGTERM', 'SIGHUP'])) {
    process.on(signal, () => {
      if (signal !== 'SIGINT' || !process.stdin.isTTY) child.kill(signal)
    })
  }
  process.exitCode = await new Promise(resolve => {
    child.on('error', () => resolve(3))
    child.on('exit', status => resolve(status ?? 3))
  })
}

/** @param {string} from @returns {string | null} */
function pinnedNode(from) {
  for (let folder = from; ; folder = dirname(folder)) {
    const candidate = join(folder, 'node_modules', '.bin', 'node')
    if (existsSync(candidate) && versionOf(candidate) >= LEAST_NODE) return candidate
    if (dirname(folder) === folder) return null
  }
}

/** @param {string} node @returns {number} */
function versionOf(node) {
  const answer = spawnSync(node, ['--version'], { encoding: 'utf8' })
  return answer.status === 0 ? Number(answer.stdout.replace('v', '').split('.')[0]) : 0
}
