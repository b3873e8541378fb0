import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

/** The text files of the project: path from the root, with forward slashes, to content. */
export type Tree = ReadonlyMap<string, string>

/** What is wrong, where, and what would be right. `line` counts from 1. */
export interface Fault {
  readonly path: string
  readonly line: number
  readonly fault: string
  readonly cure: string
}

/** All files that git tracks or would track, so that a new file is judged before it is committed. */
export function readTree(root: string): Tree {
  const listed = execFileSync('git', ['ls-files', '-z', '--cached', '--others', '--exclude-standard'], {
    cwd: root,
    encoding: 'utf8',
    maxBuffer: 64 * 1024 * 1024,
  })
  const tree = new Map<string, string>()
  for (const path of listed.split('\0')) {
    if (path === '' || !existsSync(join(root, path))) continue
    const content = readFileSync(join(root, path))
    if (!content.includes(0)) tree.set(path, content.toString('utf8'))
  }
  return tree
}

export function lineAt(text: string, offset: number): number {
  let line = 1
  for (let at = text.indexOf('\n'); at !== -1 && at < offset; at = text.indexOf('\n', at + 1)) line++
  return line
}

export function printFault(fault: Fault): string {
  return `${fault.path}:${fault.line}: error: ${fault.fault} ${fault.cure}`
}
