#!/usr/bin/env node
// The program is TypeScript that Node runs as it is, which needs Node 24. Where an older Node started this file, the one
// that was installed beside the program takes over.
import { spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const LEAST_NODE = 24
const here = dirname(fileURLToPath(import.meta.url))

if (Number(process.versions.node.split('.')[0]) >= LEAST_NODE) {
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
    const child = spawnSync(node, [fileURLToPath(import.meta.url), ...process.argv.slice(2)], {
      stdio: 'inherit',
    })
    process.exitCode = child.status ?? 3
  }
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
