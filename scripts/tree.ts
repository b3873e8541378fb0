import { spawnSync } from 'node:child_process'
import { existsSync, globSync, readFileSync } from 'node:fs'
import { join, relative } from 'node:path'

/** The text files of the project: path from the root, with forward slashes, to content. */
export type Tree = ReadonlyMap<string, string>

/** What is wrong, where, and what would be right. `line` counts from 1. */
export interface Fault {
  readonly path: string
  readonly line: number
  readonly fault: string
  readonly cure: string
}

/** All text files of the project that git tracks or would track, so that a new file is judged before it is committed. */
export function readTree(root: string): Tree {
  const tree = new Map<string, string>()
  for (const path of listFiles(root)) {
    if (!existsSync(join(root, path))) continue
    const content = readFileSync(join(root, path))
    if (!content.includes(0)) tree.set(path, content.toString('utf8'))
  }
  return tree
}

/** Outside a git checkout (an unpacked archive): every file but what is installed or made. */
function listFiles(root: string): readonly string[] {
  const git = spawnSync('git', ['ls-files', '-z', '--cached', '--others', '--exclude-standard'], {
    cwd: root,
    encoding: 'utf8',
    maxBuffer: 64 * 1024 * 1024,
  })
  if (git.status === 0) return git.stdout.split('\0').filter(path => path !== '')
  return globSync('**/*', {
    cwd: root,
    withFileTypes: true,
    exclude: ['**/node_modules', '.git', 'out', 'coverage'],
  })
    .filter(entry => entry.isFile())
    .map(entry => relative(root, join(entry.parentPath, entry.name)).replaceAll('\\', '/'))
}

export function lineAt(text: string, offset: number): number {
  let line = 1
  for (let at = text.indexOf('\n'); at !== -1 && at < offset; at = text.indexOf('\n', at + 1)) line++
  return line
}

export function printFault(fault: Fault): string {
  return `${fault.path}:${fault.line}: error: ${fault.fault} ${fault.cure}`
}
