/** Recorded fermentations of folders. A file that is none is named with the reason, and the others are read all the same. */
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { basename, join } from 'node:path'
import { type RecordedBatch, readRecord } from '../../packages/cli/src/readings/recorded-batch.ts'

export interface LeftOut {
  readonly file: string
  readonly why: string
}

export interface Records {
  readonly batches: readonly RecordedBatch[]
  readonly leftOut: readonly LeftOut[]
}

export function readRecords(folders: readonly string[]): Records {
  const batches: RecordedBatch[] = []
  const leftOut: LeftOut[] = []
  for (const folder of folders) {
    for (const file of csvFiles(folder, leftOut)) {
      try {
        const batch = readRecord(basename(file).replace(/\.csv$/i, ''), readFileSync(file, 'utf8'))
        if (typeof batch === 'string') leftOut.push({ file, why: batch })
        else batches.push(batch)
      } catch (error) {
        leftOut.push({ file, why: error instanceof Error ? error.message : `${error}` })
      }
    }
  }
  return { batches, leftOut }
}

function csvFiles(folder: string, leftOut: LeftOut[]): readonly string[] {
  try {
    if (statSync(folder).isFile()) return [folder]
    return readdirSync(folder)
      .filter(name => /\.csv$/i.test(name))
      .sort()
      .map(name => join(folder, name))
  } catch (error) {
    leftOut.push({ file: folder, why: error instanceof Error ? error.message : `${error}` })
    return []
  }
}
