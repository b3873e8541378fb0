import { readdirSync, readFileSync, statSync } from 'node:fs'
import { basename, dirname, resolve } from 'node:path'
import { nearestWord } from '@attemper/core/units/nearest-word.ts'
import { UsageError } from './exit-status.ts'

const MOST_BYTES = 64 * 1024 * 1024

/** Reads a file that a person named. UsageError with one sentence when there is no such file, or it can not be read. */
export function readBytes(name: string, folder: string): Buffer {
  const path = requireFile(name, folder, MOST_BYTES)
  try {
    return readFileSync(path)
  } catch (error) {
    throw new UsageError(whyUnreadable(name, path, (error as NodeJS.ErrnoException).code))
  }
}

/** The whole path of a file that a person named, which is there. */
export function requireFile(name: string, folder: string, most_bytes = Number.POSITIVE_INFINITY): string {
  const path = resolve(folder, name)
  try {
    const status = statSync(path)
    if (status.isDirectory()) throw new UsageError(`${name} is a folder, not a file.`)
    if (!status.isFile() && !status.isFIFO()) throw new UsageError(`${name} is not an ordinary file.`)
    if (status.size > most_bytes) {
      throw new UsageError(`${name} is larger than 64 MB: that can not be what you meant.`)
    }
    return path
  } catch (error) {
    if (error instanceof UsageError) throw error
    throw new UsageError(whyUnreadable(name, path, (error as NodeJS.ErrnoException).code))
  }
}

/** A plan, vessel or beer: UTF-8 (with or without a byte-order mark) or UTF-16 with one. */
export function readText(name: string, folder: string): string {
  const bytes = readBytes(name, folder)
  const encoding = encodingByMark(bytes) ?? 'utf-8'
  let text: string
  try {
    text = new TextDecoder(encoding, { fatal: true }).decode(bytes)
  } catch {
    throw new UsageError(`${name} is not a text in UTF-8: save it again as UTF-8.`)
  }
  if (text.includes('\u0000')) throw new UsageError(`${name} is not a text file.`)
  return text
}

export function encodingByMark(bytes: Uint8Array): 'utf-8' | 'utf-16le' | 'utf-16be' | null {
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) return 'utf-8'
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le'
  return bytes[0] === 0xfe && bytes[1] === 0xff ? 'utf-16be' : null
}

function whyUnreadable(name: string, path: string, code: string | undefined): string {
  if (code === 'ENOENT' || code === 'ENOTDIR') {
    const nearest = nearestFile(path)
    return `There is no file ${name}.${nearest === null ? '' : ` Did you mean ${nearest}?`}`
  }
  if (code === 'EACCES' || code === 'EPERM') return `${name} may not be read by you.`
  return `${name} can not be read (${code ?? 'unknown reason'}).`
}

function nearestFile(path: string): string | null {
  try {
    return nearestWord(basename(path), readdirSync(dirname(path)))
  } catch {
    return null
  }
}
