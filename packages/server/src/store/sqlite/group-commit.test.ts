import { expect, it } from 'vitest'
import { GroupCommit } from './group-commit.ts'

/** A disk that takes this long to write, and what was written to it. */
function slowDisk(takes_ms: number) {
  const groups: (readonly string[])[] = []
  const write = (group: readonly string[]) => {
    groups.push(group)
    const began_ms = performance.now()
    while (performance.now() - began_ms < takes_ms);
    return group.map(item => `${item} is written`)
  }
  return { groups, write }
}

it('writes once what arrives together, and tells each caller of its own', async () => {
  const { groups, write } = slowDisk(0)
  const commit = new GroupCommit(write, 100)
  expect(await Promise.all(['a', 'b', 'c'].map(item => commit.add(item, 1)))).toEqual([
    'a is written',
    'b is written',
    'c is written',
  ])
  expect(groups).toEqual([['a', 'b', 'c']])
})

it('leaves a slow disk alone for half as long as it took, and writes then what came meanwhile', async () => {
  const { groups, write } = slowDisk(30)
  const commit = new GroupCommit(write, 100)
  await commit.add('first', 1)
  const began_ms = performance.now()
  const second = commit.add('second', 1)
  await new Promise(resolve => setTimeout(resolve, 5))
  await Promise.all([second, commit.add('third', 1)])
  // 15 ms of waiting and 30 ms of writing; timers may be early by a millisecond.
  expect(performance.now() - began_ms).toBeGreaterThan(43)
  expect(groups).toEqual([['first'], ['second', 'third']])
})

it('does not wait with a group that is large enough', async () => {
  const { groups, write } = slowDisk(0)
  const commit = new GroupCommit(write, 5)
  const all = ['a', 'b'].map(item => commit.add(item, 3))
  expect(groups).toEqual([['a', 'b']])
  await Promise.all(all)
})

it('tells all of a group that it was not written', async () => {
  const commit = new GroupCommit<string, string>(() => {
    throw new Error('The disk is full.')
  }, 100)
  const [a, b] = [commit.add('a', 1), commit.add('b', 1)]
  await expect(a).rejects.toThrow('The disk is full.')
  await expect(b).rejects.toThrow('The disk is full.')
})
