import { spawnSync } from 'node:child_process'

export interface Lines {
  readonly first: number
  readonly last: number
}

function git(root: string, ...options: readonly string[]): string | null {
  const { status, stdout } = spawnSync('git', options, { cwd: root, encoding: 'utf8', maxBuffer: 1 << 28 })
  return status === 0 ? stdout.trim() : null
}

/**
 * What a change is compared with when nobody says so: where the branch left the main one; on the main branch itself, some
 * commits ago. null: there is no history to compare with.
 */
export function usualBase(root: string, commitsBack: number): string | null {
  const head = git(root, 'rev-parse', 'HEAD')
  for (const main of ['origin/main', 'main']) {
    const left = git(root, 'merge-base', 'HEAD', main)
    if (left !== null && left !== head) return left
  }
  const ancestors = git(root, 'rev-list', '--first-parent', `--max-count=${commitsBack + 1}`, 'HEAD')
  return ancestors?.split('\n').at(-1) ?? null
}

/** By file: the lines that differ from the base, uncommitted changes included. A file that is new has all of them. */
export function changedLines(
  root: string,
  base: string,
  files: readonly string[],
): ReadonlyMap<string, readonly Lines[]> {
  const diff = git(root, 'diff', '--unified=0', '--no-color', '--no-ext-diff', base, '--', ...files)
  if (diff === null) throw new Error(`git cannot compare with "${base}". Name a commit of this repository.`)
  return linesIn(diff)
}

export function linesIn(diff: string): ReadonlyMap<string, readonly Lines[]> {
  const changed = new Map<string, Lines[]>()
  let file = ''
  for (const line of diff.split('\n')) {
    if (line.startsWith('+++ ')) file = line.replace(/^\+\+\+ (?:b\/)?/, '')
    const hunk = /^@@ -\S+ \+(\d+)(?:,(\d+))? @@/.exec(line)
    const count = Number(hunk?.[2] ?? 1)
    if (!hunk || count === 0) continue
    const first = Number(hunk[1])
    changed.set(file, [...(changed.get(file) ?? []), { first, last: first + count - 1 }])
  }
  return changed
}
