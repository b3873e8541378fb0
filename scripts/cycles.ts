import { posix } from 'node:path'
import { isTest, listImports } from './imports.ts'
import type { Fault, Tree } from './tree.ts'

/**
 * Files that need each other at run time. Imports of types only are left out: they are gone by then, and data that refers
 * to each other is no fault.
 */
export function findCycles(tree: Tree): readonly Fault[] {
  const needs = new Map<string, readonly Edge[]>()
  for (const [path, source] of tree) {
    if (/^packages\/.*\.ts$/.test(path) && !isTest(path)) needs.set(path, neededBy(tree, path, source))
  }
  const faults: Fault[] = []
  const finished = new Set<string>()
  const visit = (path: string, trail: readonly string[]): void => {
    if (finished.has(path)) return
    for (const { target, line } of needs.get(path) ?? []) {
      const at = trail.indexOf(target)
      if (at === -1) visit(target, [...trail, target])
      else faults.push(describe(path, line, [...trail.slice(at), target]))
    }
    finished.add(path)
  }
  for (const path of needs.keys()) visit(path, [path])
  return faults
}

interface Edge {
  readonly target: string
  readonly line: number
}

function neededBy(tree: Tree, path: string, source: string): readonly Edge[] {
  return listImports(source)
    .filter(found => !found.typeOnly && found.specifier.startsWith('.'))
    .map(found => ({
      target: posix.join(posix.dirname(path), found.specifier),
      line: found.line,
    }))
    .filter(({ target }) => tree.has(target))
}

function describe(path: string, line: number, circle: readonly string[]): Fault {
  const names = circle.map(each => posix.basename(each)).join(' -> ')
  return {
    path,
    line,
    fault: `These files need each other: ${names}.`,
    cure: 'Move what both need to a file of its own, or hand it over as an argument.',
  }
}
