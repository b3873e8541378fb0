import { isUtf8 } from 'node:buffer'
import { HttpProblem } from './errors.ts'
import { DEEPEST, nestsDeeper } from './nesting.ts'

export const LARGEST_BODY_B = 1_048_576

/** Refuses what should not even be parsed. */
export function checkJsonText(body: Buffer): void {
  if (!isUtf8(body)) throw new HttpProblem('wrong-utf8')
  if (nestsDeeper(body)) {
    throw new HttpProblem('too-deep', `Arrays and objects are nested deeper than ${DEEPEST} levels.`)
  }
}

/** The value of a JSON body; undefined: the body is empty. */
export function readJson(body: Buffer): unknown {
  if (body.length === 0) return undefined
  checkJsonText(body)
  const text = body.toString('utf8')
  try {
    return JSON.parse(text.startsWith('\uFEFF') ? text.slice(1) : text)
  } catch (error) {
    throw new HttpProblem('wrong-json', `The body is not JSON: ${sayWhere(text, error)}.`)
  }
}

/** The parser's own words hold parts of the text that was sent; only the place and the letter are of use. */
function sayWhere(text: string, error: unknown): string {
  if (text.trim() === '') return 'it is empty'
  const words = error instanceof Error ? error.message : ''
  const position = /position (\d+)/.exec(words)?.[1]
  if (position !== undefined) {
    const before = text.slice(0, Number(position)).split('\n')
    return `see line ${before.length}, column ${(before.at(-1) ?? '').length + 1}`
  }
  const letter = /Unexpected token '([\s\S]{1,2})'/u.exec(words)?.[1]
  return letter === undefined ? 'it ends too early' : `a “${letter}” stands where none belongs`
}
