import { expect as jestExpect } from 'expect'

/*
 * What the tests import instead of Vitest while mutants are tried: it only collects them, so that they can be called
 * thousands of times in one process. The engine's tests are plain functions without set-up and clean-up, and no module of
 * the core keeps a state that a test could leave behind.
 */

/** A test of a file, ready to be called. */
export interface Collected {
  readonly id: string
  readonly name: string
  readonly file: string
  readonly line: number
  readonly run: () => unknown
}

type Body = (...values: never[]) => unknown

const collected: Collected[] = []
const path: string[] = []
const seen = new Map<string, number>()
let file = ''

/** Loads a file of tests and gives back those that it has. */
export async function collectFrom(path: string, url: string): Promise<readonly Collected[]> {
  file = path
  collected.length = 0
  await import(url)
  return [...collected]
}

export function describe(name: string, body: () => void): void {
  path.push(name)
  body()
  path.pop()
}

describe.each =
  (table: readonly unknown[]) =>
  (name: string, body: Body): void => {
    for (const row of table) describe(nameOf(name, row), () => body(...(valuesOf(row) as never[])))
  }

export function test(name: string, ...rest: readonly unknown[]): void {
  const body = rest.find(each => typeof each === 'function') as (context: object) => unknown
  const whole = [...path, name].join(' > ')
  const count = (seen.get(whole + file) ?? 0) + 1
  seen.set(whole + file, count)
  const unique = count === 1 ? whole : `${whole} (${count})`
  collected.push({
    id: `${file}#${unique}`,
    name: unique,
    file,
    line: lineOfCaller(),
    run: () => body({ task: { meta: {} } }),
  })
}

test.each =
  (table: readonly unknown[]) =>
  (name: string, ...rest: readonly unknown[]): void => {
    const body = rest.find(each => typeof each === 'function') as Body
    for (const row of table) test(nameOf(name, row), () => body(...(valuesOf(row) as never[])))
  }

export const it = test

const valuesOf = (row: unknown): readonly unknown[] => (Array.isArray(row) ? row : [row])

function nameOf(name: string, row: unknown): string {
  const values = [...valuesOf(row)]
  return name.replace(/%[sdifjo]/g, () => String(values.shift()))
}

function lineOfCaller(): number {
  const own = new Error().stack?.split('\n').find(each => each.includes(file))
  return Number(/:(\d+):\d+\)?$/.exec(own ?? '')?.[1] ?? 1)
}

/** Vitest takes a message beside the value, and knows a few words more. */
export const expect = Object.assign((value: unknown, _message?: string) => jestExpect(value), jestExpect, {
  fail: (message: string): never => {
    throw new Error(message)
  },
})
